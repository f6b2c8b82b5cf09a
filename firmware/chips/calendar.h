// Civil time of the clock chip, 2000 to 2099, to and from unix seconds. In that century every
// fourth year is a leap year.
#pragma once

#include <stdint.h>

namespace quaycell {
namespace chips {

constexpr uint32_t unix_2000_s = 946684800;  ///< 2000-01-01T00:00:00Z
constexpr uint32_t unix_2100_s = 4102444800; ///< the first second beyond the clock chip
constexpr uint32_t seconds_a_day = 86400;

/// In the order of the clock chip's registers.
struct Civil {
    uint8_t second;
    uint8_t minute;
    uint8_t hour;
    uint8_t weekday; ///< 1 to 7; never looked at
    uint8_t day;
    uint8_t month;
    uint8_t year; ///< since 2000
};

constexpr uint8_t days_in_month(uint8_t year, uint8_t month) {
    if (month == 2) return year % 4 == 0 ? 29 : 28;
    return month == 4 || month == 6 || month == 9 || month == 11 ? 30 : 31;
}

inline bool is_civil(const Civil& c) {
    return c.year < 100 && c.month >= 1 && c.month <= 12 && c.day >= 1 &&
           c.day <= days_in_month(c.year, c.month) && c.hour < 24 && c.minute < 60 && c.second < 60;
}

constexpr uint32_t to_unix(const Civil& c) {
    uint16_t days = static_cast<uint16_t>(c.year * 365U + (c.year + 3) / 4 + c.day - 1);
    for (uint8_t month = 1; month < c.month; ++month)
        days = static_cast<uint16_t>(days + days_in_month(c.year, month));
    return unix_2000_s + days * seconds_a_day + c.hour * uint32_t{3600} +
           static_cast<uint16_t>(c.minute * 60 + c.second);
}

// Said here, so that the firmware's own compiler counts it: its int has 16 bits.
static_assert(to_unix({59, 59, 23, 1, 31, 12, 99}) == unix_2100_s - 1, "the century's last second");

/// Hour, minute and second only.
inline Civil time_of_day(uint32_t unix_s) {
    const uint32_t left = unix_s % seconds_a_day;
    const uint16_t in_hour = static_cast<uint16_t>(left % 3600);
    Civil c = {};
    c.hour = static_cast<uint8_t>(left / 3600);
    c.minute = static_cast<uint8_t>(in_hour / 60);
    c.second = static_cast<uint8_t>(in_hour % 60);
    return c;
}

inline Civil from_unix(uint32_t unix_s) {
    Civil c = time_of_day(unix_s);
    uint16_t days = static_cast<uint16_t>((unix_s - unix_2000_s) / seconds_a_day);
    for (;;) {
        const uint16_t in_year = c.year % 4 == 0 ? 366 : 365;
        if (days < in_year) break;
        days = static_cast<uint16_t>(days - in_year);
        ++c.year;
    }
    c.month = 1;
    while (days >= days_in_month(c.year, c.month)) {
        days = static_cast<uint16_t>(days - days_in_month(c.year, c.month));
        ++c.month;
    }
    c.day = static_cast<uint8_t>(days + 1);
    c.weekday = 1;
    return c;
}

} // namespace chips
} // namespace quaycell
