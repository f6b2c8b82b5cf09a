#include "base/time.h"

#include "base/known_time.h"

#include <array>
#include <charconv>
#include <fmt/format.h>

namespace quaycell {

namespace {

/// Reads exactly `count` digits at `position` and moves past them; -1 when they are not there.
int digits(std::string_view text, std::size_t& position, std::size_t count) {
    if (position + count > text.size()) return -1;
    int value = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const char c = text[position + i];
        if (c < '0' || c > '9') return -1;
        value = value * 10 + (c - '0');
    }
    position += count;
    return value;
}

bool take(std::string_view text, std::size_t& position, std::string_view any_of) {
    if (position >= text.size() || any_of.find(text[position]) == std::string_view::npos)
        return false;
    ++position;
    return true;
}

Error not_a_time(std::string_view text, const char* why) {
    return {ErrorCode::wrong_input, fmt::format("\"{}\" is not a time: {}", text, why), "",
            "Write it like 2026-05-04T06:00:00Z or 2026-05-04T08:00:00+02:00."};
}

/// Minutes that local time is ahead of UTC, or nothing when the text does not end in a good offset.
bool read_offset(std::string_view text, std::size_t& position, int& offset_min) {
    if (take(text, position, "Zz")) {
        offset_min = 0;
    } else {
        const bool east = position < text.size() && text[position] == '+';
        if (!take(text, position, "+-")) return false;
        const int hours = digits(text, position, 2);
        if (hours < 0 || hours > 23 || !take(text, position, ":")) return false;
        const int minutes = digits(text, position, 2);
        if (minutes < 0 || minutes > 59) return false;
        offset_min = (east ? 1 : -1) * (hours * 60 + minutes);
    }
    return position == text.size();
}

int read_milliseconds(std::string_view text, std::size_t& position) {
    int milliseconds = 0;
    int scale = 100;
    for (; position < text.size() && text[position] >= '0' && text[position] <= '9'; ++position) {
        milliseconds += (text[position] - '0') * scale;
        scale /= 10;
    }
    return milliseconds;
}

} // namespace

Result<Instant> parse_instant(std::string_view text) {
    std::size_t at = 0;
    const int year = digits(text, at, 4);
    const bool date_marks = take(text, at, "-");
    const int month = digits(text, at, 2);
    const bool date_marks_2 = take(text, at, "-");
    const int day = digits(text, at, 2);
    if (year < 0 || month < 0 || day < 0 || !date_marks || !date_marks_2)
        return not_a_time(text, "it does not begin with a date");
    const std::chrono::year_month_day date{std::chrono::year{year},
                                           std::chrono::month{static_cast<unsigned>(month)},
                                           std::chrono::day{static_cast<unsigned>(day)}};
    if (!date.ok()) return not_a_time(text, "there is no such day");
    if (!take(text, at, "Tt ")) return not_a_time(text, "the time of day is missing");
    const int hour = digits(text, at, 2);
    const bool colon = take(text, at, ":");
    const int minute = digits(text, at, 2);
    const bool colon_2 = take(text, at, ":");
    const int second = digits(text, at, 2);
    if (hour < 0 || hour > 23 || minute < 0 || minute > 59 || second < 0 || second > 60 || !colon ||
        !colon_2)
        return not_a_time(text, "the time of day is not HH:MM:SS");
    int milliseconds = 0;
    if (take(text, at, ".")) {
        const std::size_t first_digit = at;
        milliseconds = read_milliseconds(text, at);
        if (at == first_digit) return not_a_time(text, "no digits follow the decimal point");
    }
    int offset_min = 0;
    if (!read_offset(text, at, offset_min))
        return not_a_time(text, "it has to end in Z or an offset like +02:00, else nobody can say "
                                "when it was");
    const Instant instant = Instant{std::chrono::sys_days{date}} + std::chrono::hours{hour} +
                            std::chrono::minutes{minute - offset_min} +
                            std::chrono::seconds{second} + Milliseconds{milliseconds};
    if (!is_known_time(instant)) return not_a_time(text, "it lies before 1970 or after 9999");
    return instant;
}

std::string to_text(Instant instant) {
    const auto day = std::chrono::floor<std::chrono::days>(instant);
    const std::chrono::year_month_day date{day};
    const std::chrono::hh_mm_ss time{instant - day};
    std::string text =
        fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", static_cast<int>(date.year()),
                    static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                    time.hours().count(), time.minutes().count(), time.seconds().count());
    if (time.subseconds().count() != 0) text += fmt::format(".{:03}", time.subseconds().count());
    return text + 'Z';
}

namespace {

struct TimeUnit {
    std::string_view name;
    std::int64_t seconds;
};
constexpr std::array<TimeUnit, 4> units{{{"d", 86400}, {"h", 3600}, {"min", 60}, {"s", 1}}};

} // namespace

Result<std::chrono::seconds> parse_duration(std::string_view text) {
    const Error wrong{ErrorCode::wrong_usage, fmt::format("\"{}\" is not a length of time", text),
                      "", "Write it like 10s, 10min, 2h or 7d."};
    std::int64_t value = 0;
    const auto [end, failure] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (failure != std::errc{} || value < 0) return wrong;
    const std::string_view unit = text.substr(static_cast<std::size_t>(end - text.data()));
    if (unit.empty()) return std::chrono::seconds{value};
    for (const TimeUnit& known : units) {
        if (unit == known.name && value <= 1000LL * 366 * 86400 / known.seconds)
            return std::chrono::seconds{value * known.seconds};
    }
    return wrong;
}

std::string to_text(std::chrono::seconds duration) {
    std::int64_t left = duration.count();
    std::string text;
    int parts = 0;
    for (const TimeUnit& unit : units) {
        const std::int64_t count = left / unit.seconds;
        left %= unit.seconds;
        if (count != 0 && parts < 2) {
            text += fmt::format("{}{} {}", text.empty() ? "" : " ", count, unit.name);
            ++parts;
        } else if (parts > 0) {
            break;
        }
    }
    return text.empty() ? "0 s" : text;
}

} // namespace quaycell
