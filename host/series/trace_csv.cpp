#include "series/trace_csv.h"

#include "base/many_instants.h"
#include "electrode/potential.h"
#include "series/csv.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// A column of numbers: where it goes, and the limits of what can be meant. The limits only catch
/// slips (a wrong unit, a lost decimal point); they are far wider than anything in a harbour.
struct NumberColumn {
    std::string_view name;
    std::vector<double> Trace::*values;
    double low;
    double high;
    bool required;
};
constexpr std::array<NumberColumn, 7> number_columns{{
    {"potential_mv", &Trace::potential_mv, -5000, 5000, true},
    {"cell_b_mv", &Trace::cell_b_mv, -5000, 5000, false},
    {"ac_mv", &Trace::ac_mv, 0, 500000, false},
    {"temperature_c", &Trace::temperature_c, -10, 60, false},
    {"salinity_psu", &Trace::salinity_psu, 0, 400, false},
    {"source_ohm", &Trace::source_ohm, 0, 1e12, false},
    {"battery_mv", &Trace::battery_mv, 0, 100000, false},
}};
constexpr std::string_view time_name = "time";
constexpr std::string_view scale_name = "cell_scale";
constexpr std::string_view quality_name = "quality";
constexpr std::string_view standard_name = "standard_mv";

constexpr int decimals = 3; // 1 uV; the converter's step is 62.5 uV
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

class TraceReader {
  public:
    TraceReader(std::string_view text, std::string_view name) : csv_(text) { trace_.name = name; }

    Result<Trace> read() {
        const Result<bool> header = csv_.next(fields_);
        if (!header) return at_file(header.error());
        if (!*header) return missing_header(1);
        if (const Result<Done> done = read_header(); !done) return done.error();
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
    enum class Kind { time, scale, number, quality, ignored };
    struct Column {
        std::string name;
        Kind kind = Kind::ignored;
        const NumberColumn* number = nullptr; ///< one of number_columns, or null
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
            for (const NumberColumn& known : number_columns)
                if (field.text == known.name) column = {column.name, Kind::number, &known};
            if (field.text == time_name) column.kind = Kind::time;
            if (field.text == scale_name) column.kind = Kind::scale;
            if (field.text == quality_name) column.kind = Kind::quality;
            if (column.kind == Kind::ignored && field.text != standard_name)
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
            has_time |= column.name == time_name;
            has_potential |= column.number && column.number->required;
        }
        if (!has_time || !has_potential) return missing_header(fields_.front().line);
        return Done{};
    }

    static std::string known_columns() {
        std::string list = fmt::format("The columns are: {}", time_name);
        for (const NumberColumn& known : number_columns)
            list += fmt::format(", {}", known.name);
        return list + fmt::format(", {}, {}, {}.", scale_name, quality_name, standard_name);
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

    Result<Done> read_number(const NumberColumn& column, const CsvField& field) {
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
    std::vector<CsvField> fields_;
    std::optional<CsvField> first_potential_; ///< that is not 0
    std::vector<Column> columns_;
    InstantReader times_;
    std::string scale_text_;
    std::string quality_text_; ///< the last one, and what it says
    Quality quality_ = Quality::good;
    Trace trace_;
};

void append_number(std::string& text, double value) {
    if (std::isnan(value)) return;
    std::array<char, 64> digits;
    const auto [end, failure] = std::to_chars(digits.data(), digits.data() + digits.size(), value,
                                              std::chars_format::fixed, decimals);
    std::string_view number(digits.data(), static_cast<std::size_t>(end - digits.data()));
    number = number.substr(0, number.find_last_not_of('0') + 1);
    if (number.ends_with('.')) number.remove_suffix(1);
    text += number == "-0" ? "0" : number;
}

} // namespace

Result<Trace> read_trace_csv(std::string_view text, std::string_view name) {
    return TraceReader(text, name).read();
}

std::string write_trace_csv(const Trace& trace, std::span<const double> standard_mv) {
    std::string text{time_name};
    for (const NumberColumn& column : number_columns) {
        if (!column.required && (trace.*column.values).empty()) continue;
        text += fmt::format(",{}", column.name);
        if (column.required && trace.cell_scale) text += fmt::format(",{}", scale_name);
    }
    if (!trace.quality.empty()) text += fmt::format(",{}", quality_name);
    if (!standard_mv.empty()) text += fmt::format(",{}", standard_name);
    text += "\r\n";
    InstantWriter times;
    for (std::size_t i = 0; i < trace.time.size(); ++i) {
        times.append(text, trace.time[i]);
        for (const NumberColumn& column : number_columns) {
            const std::vector<double>& values = trace.*column.values;
            if (values.empty()) continue;
            text += ',';
            append_number(text, values[i]);
            if (column.required && trace.cell_scale) {
                text += ',';
                text += name_of(*trace.cell_scale);
            }
        }
        if (!trace.quality.empty()) {
            text += ',';
            text += to_text(trace.quality[i]);
        }
        if (!standard_mv.empty()) {
            text += ',';
            append_number(text, standard_mv[i]);
        }
        text += "\r\n";
    }
    return text;
}

} // namespace quaycell
