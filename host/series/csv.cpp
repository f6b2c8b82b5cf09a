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
    if (at_ == text_.size() || text_[at_] == '\n') return true;
    return text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n';
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
    if (!unquoted_.empty()) unquoted_.clear();
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
    for (; at_ < text_.size(); ++at_) {
        const char c = text_[at_];
        if (c > ',') continue; // nearly all
        if (c == ',' || (c <= '\r' && at_line_end())) break;
        if (c == '"') return misplaced(field, "a quote inside a field without quotes");
    }
    field.text = text_.substr(from, at_ - from);
    return Done{};
}

Result<Done> CsvReader::read_quoted(CsvField& field) {
    const std::size_t from = at_ + 1;
    bool has_quotes = false;
    for (++at_; at_ < text_.size(); ++at_) {
        if (text_[at_] == '"') {
            ++at_;
            if (at_line_end() || text_[at_] == ',') {
                field.text = text_.substr(from, at_ - 1 - from);
                if (has_quotes) field.text = with_single_quotes(field.text);
                return Done{};
            }
            if (text_[at_] != '"') return misplaced(field, "text after the closing quote");
            has_quotes = true;
        } else if (text_[at_] == '\n') {
            ++line_;
            line_start_ = at_ + 1;
        }
    }
    return misplaced(field, "a quoted field is never closed");
}

/// Every quote inside a quoted field stands twice.
std::string_view CsvReader::with_single_quotes(std::string_view text) {
    std::string& single = unquoted_.emplace_back();
    for (std::size_t i = 0; i < text.size(); ++i) {
        single += text[i];
        if (text[i] == '"') ++i;
    }
    return single;
}

} // namespace quaycell
