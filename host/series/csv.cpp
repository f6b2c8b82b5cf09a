#include "series/csv.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

Error misplaced(const CsvField& field, const char* what) {
    return {ErrorCode::wrong_input, what, fmt::format("{}:{}", field.line, field.column),
            "Put the whole field into quotes and double every quote inside it."};
}

} // namespace

CsvReader::CsvReader(std::string_view text) : text_(text) {
    if (text_.starts_with(byte_order_mark)) at_ = line_start_ = byte_order_mark.size();
}

bool CsvReader::at_line_end() const {
    return at_ == text_.size() || text_[at_] == '\n' || text_.substr(at_, 2) == "\r\n";
}

void CsvReader::end_line() {
    if (at_ == text_.size()) return;
    at_ += text_[at_] == '\r' ? 2 : 1;
    ++line_;
    line_start_ = at_;
}

Result<bool> CsvReader::next(std::vector<CsvField>& fields) {
    while (at_ < text_.size() && at_line_end())
        end_line();
    if (at_ == text_.size()) return false;
    std::size_t count = 0;
    while (true) {
        if (fields.size() == count) fields.emplace_back();
        const Result<Done> read = read_field(fields[count++]);
        if (!read) return read.error();
        if (at_line_end()) break;
        ++at_; // the comma
    }
    end_line();
    fields.resize(count);
    return true;
}

Result<Done> CsvReader::read_field(CsvField& field) {
    field.line = line_;
    field.column = at_ - line_start_ + 1;
    if (at_ < text_.size() && text_[at_] == '"') return read_quoted(field);
    const std::size_t from = at_;
    while (!at_line_end() && text_[at_] != ',') {
        if (text_[at_] == '"') return misplaced(field, "a quote inside a field without quotes");
        ++at_;
    }
    field.text.assign(text_.substr(from, at_ - from));
    return Done{};
}

Result<Done> CsvReader::read_quoted(CsvField& field) {
    field.text.clear();
    for (++at_; at_ < text_.size(); ++at_) {
        if (text_[at_] == '"') {
            ++at_;
            if (at_line_end() || text_[at_] == ',') return Done{};
            if (text_[at_] != '"') return misplaced(field, "text after the closing quote");
        } else if (text_[at_] == '\n') {
            ++line_;
            line_start_ = at_ + 1;
        }
        field.text += text_[at_];
    }
    return misplaced(field, "a quoted field is never closed");
}

} // namespace quaycell
