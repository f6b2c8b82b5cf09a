#include "series/trace_csv.h"

#include "base/many_instants.h"
#include "electrode/potential.h"
#include "series/csv.h"
#include "series/trace_csv_columns.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::size_t longest_quotation = 40;

/// The text as it may stand in a message: short, and without characters that move the cursor.
std::string quoted(std::string_view text) {
    std::string shown;
    for (const char c : text.substr(0, longest_quotation)) {
        const auto byte = static_cast<unsigned char>(c);
        shown += byte < 0x20 || byte == 0x7F ? '?' : c;
    }
    return fmt::format("\"{}{}\"", shown, text.size() > longest_quotation ? "..." : "");
}

/// Powers of ten that a double holds exactly, as it holds whole numbers of up to 15 digits: their
/// quotient is the nearest double to what is written (Clinger 1990, from memory).
constexpr std::array<double, 16> tens{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                      1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

/// The number that is all of the text; not finite where it is none. Plain decimals by themselves,
/// everything else by the library.
double number_in(std::string_view text) {
    std::size_t at = text.starts_with('-') ? 1 : 0;
    const std::size_t first = at;
    std::int64_t whole = 0;
    std::size_t point = text.size();
    for (; at < text.size(); ++at) {
        const char c = text[at];
        if (c == '.' && point == text.size())
            point = at;
        else if (c >= '0' && c <= '9')
            whole = 10 * whole + (c - '0');
        else
            break;
        if (at - first >= tens.size() - 1) break;
    }
    const bool has_digits = text.size() > first + (point != text.size() ? 1 : 0);
    if (at == text.size() && has_digits) {
        const std::size_t decimals_there = point == text.size() ? 0 : text.size() - 1 - point;
        const double size = static_cast<double>(whole) / tens.at(decimals_there);
        return first == 1 ? -size : size;
    }
    double value = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, failure] = std::from_chars(text.data(), end, value);
    return failure == std::errc{} && stop == end ? value : missing_value;
}

bool names_deployment(std::string_view text) {
    return text.size() <= csv::longest_deployment && csv::is_letter(text.front()) &&
           std::ranges::all_of(text, csv::may_name_deployment);
}

class TraceReader {
  public:
    TraceReader(std::string_view text, std::string_view name) : csv_(text), text_(text) {
        trace_.name = name;
    }

    Result<Trace> read() {
        const Result<bool> header = csv_.next(fields_);
        if (!header) return at_file(header.error());
        if (!*header) return missing_header(1);
        if (const Result<Done> done = read_header(); !done) return done.error();
        make_room();
        while (true) {
            const Result<bool> more = csv_.next(fields_);
            if (!more) return at_file(more.error());
            if (!*more) break;
            if (const Result<Done> done = read_row(); !done) return done.error();
        }
        if (first_potential_ && all_look_like_volts())
            return wrong(*first_potential_,
                         "all potentials lie within 2 mV of 0: they seem to be volts",
                         "Write them in mV: -870 for -0.87 V.");
        return std::move(trace_);
    }

  private:
    enum class Kind { time, scale, number, quality, deployment, ignored };
    struct Column {
        std::string name;
        Kind kind = Kind::ignored;
        const csv::NumberColumn* number = nullptr; ///< one of csv::number_columns, or null
    };

    Error wrong(const CsvField& field, std::string what, std::string remedy) const {
        return {ErrorCode::wrong_input, std::move(what),
                fmt::format("{}:{}:{}", trace_.name, field.line, field.column), std::move(remedy)};
    }

    /// Completes the place of an error that knows only line and column.
    Error at_file(Error error) const {
        error.where = fmt::format("{}:{}", trace_.name, error.where);
        return error;
    }

    Error missing_header(std::size_t line) const {
        return {ErrorCode::wrong_input, "the header is missing or incomplete",
                fmt::format("{}:{}:1", trace_.name, line),
                "The first line names the columns, at least time,potential_mv."};
    }

    bool all_look_like_volts() const {
        return std::all_of(trace_.potential_mv.begin(), trace_.potential_mv.end(), [](double mv) {
            return std::isnan(mv) || mv == 0 || looks_like_volts(mv);
        });
    }

    Result<Done> read_header() {
        if (fields_.size() == 1 && fields_[0].text.find(';') != std::string::npos)
            return wrong(fields_[0], "semicolons separate the fields",
                         "Separate them with commas, and write numbers with a decimal point.");
        for (const CsvField& field : fields_) {
            Column column{std::string(field.text)};
            for (const csv::NumberColumn& known : csv::number_columns)
                if (field.text == known.name) column = {column.name, Kind::number, &known};
            if (field.text == csv::time_name) column.kind = Kind::time;
            if (field.text == csv::scale_name) column.kind = Kind::scale;
            if (field.text == csv::quality_name) column.kind = Kind::quality;
            if (field.text == csv::deployment_name) column.kind = Kind::deployment;
            if (column.kind == Kind::ignored && field.text != csv::standard_name)
                return wrong(field, fmt::format("unknown column {}", quoted(field.text)),
                             known_columns());
            for (const Column& earlier : columns_)
                if (earlier.name == column.name)
                    return wrong(field, fmt::format("column {} stands twice", quoted(field.text)),
                                 "Keep one of them.");
            columns_.push_back(std::move(column));
        }
        bool has_time = false;
        bool has_potential = false;
        for (const Column& column : columns_) {
            has_time |= column.name == csv::time_name;
            has_potential |= column.number && column.number->required;
        }
        if (!has_time || !has_potential) return missing_header(fields_.front().line);
        return Done{};
    }

    /// So that no column moves while it grows.
    void make_room() {
        const auto rows = static_cast<std::size_t>(std::ranges::count(text_, '\n')) + 1;
        const auto reserve = [rows](auto& values) { values.reserve(rows); };
        for (const Column& column : columns_) {
            if (column.number) reserve(trace_.*column.number->values);
            if (column.kind == Kind::time) reserve(trace_.time);
            if (column.kind == Kind::quality) reserve(trace_.quality);
        }
    }

    static std::string known_columns() {
        std::string list = fmt::format("The columns are: {}", csv::time_name);
        for (const csv::NumberColumn& known : csv::number_columns)
            list += fmt::format(", {}", known.name);
        return list + fmt::format(", {}, {}, {}, {}.", csv::scale_name, csv::quality_name,
                                  csv::deployment_name, csv::standard_name);
    }

    Result<Done> read_row() {
        if (fields_.size() != columns_.size())
            return wrong(fields_.back(),
                         fmt::format("{} field{}, but the header names {} columns", fields_.size(),
                                     fields_.size() == 1 ? "" : "s", columns_.size()),
                         "Leave a missing field empty, but keep its comma.");
        for (std::size_t i = 0; i < columns_.size(); ++i) {
            const Result<Done> done = read_field(columns_[i], fields_[i]);
            if (!done) return done.error();
        }
        ++rows_read_;
        return Done{};
    }

    Result<Done> read_field(const Column& column, const CsvField& field) {
        switch (column.kind) {
        case Kind::number:
            return read_number(*column.number, field);
        case Kind::time:
            return read_time(field);
        case Kind::scale:
            return read_scale(field);
        case Kind::quality:
            return read_quality(field);
        case Kind::deployment:
            return read_deployment(field);
        case Kind::ignored:
            break;
        }
        return Done{};
    }

    Result<Done> read_quality(const CsvField& field) {
        if (field.text != quality_text_) {
            const Result<Quality> quality = parse_quality(field.text);
            if (!quality) return wrong(field, quality.error().what, quality.error().remedy);
            quality_ = *quality;
            quality_text_ = field.text;
        }
        trace_.quality.push_back(quality_);
        return Done{};
    }

    /// A change of words is a joint, but for the first ones.
    Result<Done> read_deployment(const CsvField& field) {
        if (field.text.empty() || field.text == deployment_) return Done{};
        if (!names_deployment(field.text))
            return wrong(
                field, fmt::format("{} names no deployment", quoted(field.text)),
                fmt::format("A letter first, then letters, digits, spaces or one of ()._-, "
                            "{} characters at most.",
                            csv::longest_deployment));
        if (rows_read_ > 0) trace_.joints.push_back({rows_read_, std::string(field.text)});
        deployment_ = field.text;
        return Done{};
    }

    Result<Done> read_number(const csv::NumberColumn& column, const CsvField& field) {
        std::vector<double>& values = trace_.*column.values;
        if (field.text.empty()) {
            values.push_back(missing_value);
            return Done{};
        }
        const double value = number_in(field.text);
        if (!std::isfinite(value))
            return wrong(field,
                         fmt::format("{} {} is not a number", column.name, quoted(field.text)),
                         "Write it with a decimal point, or leave the field empty.");
        if (value < column.low || value > column.high)
            return wrong(field,
                         fmt::format("{} {} is not between {} and {}", column.name,
                                     quoted(field.text), column.low, column.high),
                         "Check the unit, or leave the field empty.");
        values.push_back(value);
        if (column.required && value != 0 && !first_potential_)
            first_potential_ = CsvField{{}, field.line, field.column};
        return Done{};
    }

    Result<Done> read_time(const CsvField& field) {
        const Result<Instant> time = times_.read(field.text);
        if (!time)
            return wrong(field, fmt::format("time {} cannot be read", quoted(field.text)),
                         time.error().remedy);
        if (!trace_.time.empty() && *time <= trace_.time.back())
            return wrong(
                field,
                fmt::format("time {} is {} the reading before it", to_text(*time),
                            *time == trace_.time.back() ? "the same as that of" : "earlier than"),
                "Sort the lines by time and keep one reading of each instant.");
        trace_.time.push_back(*time);
        return Done{};
    }

    Result<Done> read_scale(const CsvField& field) {
        if (trace_.cell_scale && field.text == scale_text_) return Done{};
        const Result<Scale> scale = scale_named(field.text);
        if (!scale) return wrong(field, scale.error().what, scale.error().remedy);
        if (trace_.cell_scale)
            return wrong(
                field,
                fmt::format("cell_scale {} after {}", field.text, name_of(*trace_.cell_scale)),
                "A trace has one scale: split the file.");
        trace_.cell_scale = *scale;
        scale_text_ = field.text;
        return Done{};
    }

    CsvReader csv_;
    std::string_view text_;
    std::vector<CsvField> fields_;
    std::optional<CsvField> first_potential_; ///< that is not 0
    std::vector<Column> columns_;
    InstantReader times_;
    std::string scale_text_;
    std::string quality_text_; ///< the last one, and what it says
    Quality quality_ = Quality::good;
    std::string deployment_; ///< the last one named
    std::size_t rows_read_ = 0;
    Trace trace_;
};

} // namespace

Result<Trace> read_trace_csv(std::string_view text, std::string_view name) {
    return TraceReader(text, name).read();
}

} // namespace quaycell
