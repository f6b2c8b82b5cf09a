#include "bench/chips/ds3231.h"

#include <algorithm>
#include <cmath>

namespace quaycell::bench {

namespace {

constexpr std::uint8_t seconds_register = 0x00, hours_register = 0x02, weekday_register = 0x03,
                       date_register = 0x04, month_register = 0x05, year_register = 0x06;
constexpr std::uint8_t alarm_register = 0x07;
constexpr std::uint8_t control_register = 0x0E, status_register = 0x0F;
constexpr std::uint8_t temperature_register = 0x11;

constexpr std::uint8_t control_at_power_on = 0x1C, status_at_power_on = 0x88;
constexpr std::uint8_t battery_backed_output = 0x40, interrupt_control = 0x04,
                       alarm_1_enable = 0x01;
constexpr std::uint8_t stopped_flag = 0x80, alarm_1_flag = 0x01;
constexpr std::uint8_t mask_bit = 0x80, weekday_bit = 0x40, twelve_hours_bit = 0x40;

// It measures its temperature this often.
constexpr std::int64_t temperature_interval_s = 64;
constexpr std::int64_t seconds_per_day = 86400;
// 2000-01-01 00:00:00, where a chip without power starts.
constexpr std::int64_t beginning_unix_s = 946684800;
// No alarm setting matches less often than once in this many days, February the 29th aside.
constexpr std::int64_t longest_wait_days = 62;

constexpr std::uint8_t to_bcd(std::int64_t value) {
    return static_cast<std::uint8_t>((value / 10) << 4 | value % 10);
}
constexpr int from_bcd(unsigned bcd) {
    return static_cast<int>((bcd >> 4) * 10 + (bcd & 0x0FU));
}

std::int64_t floor_days(std::int64_t unix_s) {
    return unix_s / seconds_per_day;
}

std::chrono::year_month_day date_of(std::int64_t unix_s) {
    return std::chrono::sys_days{std::chrono::days{floor_days(unix_s)}};
}

} // namespace

Ds3231::Ds3231(std::optional<std::int64_t> unix_s, double drift_ppm,
               std::function<double(Time)> temperature_c, Findings& findings)
    : seconds_per_s_(1 + drift_ppm * 1e-6), temperature_c_(std::move(temperature_c)),
      findings_(findings), set_unix_s_(unix_s.value_or(beginning_unix_s)),
      checked_unix_s_(set_unix_s_) {
    registers_[control_register] = control_at_power_on;
    registers_[status_register] = status_at_power_on;
    if (unix_s) registers_[status_register] &= static_cast<std::uint8_t>(~stopped_flag);
}

void Ds3231::stop(Time now) {
    set_unix_s_ = unix_s(now);
    set_at_ = now;
    runs_ = false;
    registers_[status_register] |= stopped_flag;
}

void Ds3231::run(Time now) {
    if (!runs_) set_at_ = now;
    runs_ = true;
}

void Ds3231::jump(std::int64_t seconds) {
    set_unix_s_ += seconds;
    checked_unix_s_ += seconds;
}

void Ds3231::lose_power(Time now) {
    registers_ = {};
    registers_[control_register] = control_at_power_on;
    registers_[status_register] = status_at_power_on;
    set_unix_s_ = checked_unix_s_ = beginning_unix_s;
    set_at_ = now;
    runs_ = true;
}

std::int64_t Ds3231::unix_s(Time now) const {
    if (!runs_) return set_unix_s_;
    const double elapsed = std::chrono::duration<double>(now - set_at_).count() * seconds_per_s_;
    // A nanosecond's grace, so that the instant time_of() names lies in the second it begins.
    return set_unix_s_ + static_cast<std::int64_t>(std::floor(elapsed + 1e-9));
}

Time Ds3231::time_of(std::int64_t unix_s) const {
    const double elapsed = static_cast<double>(unix_s - set_unix_s_) / seconds_per_s_;
    return set_at_ + Time{static_cast<std::int64_t>(std::ceil(elapsed * 1e9))};
}

std::uint8_t Ds3231::day_of_week(std::int64_t days) const {
    return static_cast<std::uint8_t>((days + day_offset_) % 7 + 1);
}

void Ds3231::latch(Time now) {
    const std::int64_t at = unix_s(now);
    const std::chrono::year_month_day date = date_of(at);
    registers_[seconds_register] = to_bcd(at % 60);
    registers_[seconds_register + 1] = to_bcd(at / 60 % 60);
    registers_[hours_register] = to_bcd(at / 3600 % 24);
    registers_[weekday_register] = day_of_week(floor_days(at));
    registers_[date_register] = to_bcd(static_cast<unsigned>(date.day()));
    registers_[month_register] = to_bcd(static_cast<unsigned>(date.month()));
    registers_[year_register] = to_bcd(static_cast<int>(date.year()) - 2000);

    const Time measured = runs_ ? time_of(at - at % temperature_interval_s) : set_at_;
    const double celsius = temperature_c_(std::max(measured, Time{0}));
    const auto quarters = static_cast<std::int16_t>(std::lround(celsius * 4) * 64);
    registers_[temperature_register] = static_cast<std::uint8_t>(quarters >> 8);
    registers_[temperature_register + 1] = static_cast<std::uint8_t>(quarters & 0xFF);
}

// Takes over the time registers written in this transfer.
void Ds3231::store(Time now) {
    using namespace std::chrono;
    const auto touched = [&](std::uint8_t first, std::uint8_t last) {
        for (unsigned i = first; i <= last; ++i)
            if (((touched_ >> i) & 1U) != 0) return true;
        return false;
    };
    if (!touched(seconds_register, year_register)) return;
    if ((registers_[hours_register] & twelve_hours_bit) != 0)
        findings_.add(now, "clock: 12-hour mode, which the bench does not play");
    const year_month_day date{
        year{2000 + from_bcd(registers_[year_register])},
        month(static_cast<unsigned>(from_bcd(registers_[month_register] & 0x1FU))),
        day(static_cast<unsigned>(from_bcd(registers_[date_register])))};
    if (!date.ok()) findings_.add(now, "clock: set to a date that does not exist");
    const std::int64_t days = sys_days{date}.time_since_epoch().count();
    const std::int64_t second = from_bcd(registers_[hours_register]) * 3600 +
                                from_bcd(registers_[seconds_register + 1]) * 60 +
                                from_bcd(registers_[seconds_register]);
    // Writing the seconds starts a new second; writing the rest does not move where it began.
    set_at_ = touched(seconds_register, seconds_register) ? now : time_of(unix_s(now));
    set_unix_s_ = days * seconds_per_day + second;
    checked_unix_s_ = set_unix_s_;
    const int shown = static_cast<int>((days % 7) + 1);
    day_offset_ = ((registers_[weekday_register] & 7) - shown + 14) % 7;
}

void Ds3231::begin(bool read, Time now) {
    advance(now);
    latch(now);
    first_byte_ = !read;
    touched_ = 0;
}

bool Ds3231::write(std::uint8_t byte, Time now) {
    if (first_byte_) {
        first_byte_ = false;
        pointer_ = byte;
        if (pointer_ >= register_count) findings_.add(now, "clock: no such register");
        pointer_ = static_cast<std::uint8_t>(pointer_ % register_count);
        return true;
    }
    std::uint8_t& target = registers_[pointer_];
    if (pointer_ == status_register) { // its flags can only be cleared
        const std::uint8_t flags = stopped_flag | alarm_1_flag | 0x02;
        target = static_cast<std::uint8_t>((target & byte & flags) | (byte & 0x08));
    } else if (pointer_ < temperature_register) {
        target = byte;
    }
    touched_ |= 1U << pointer_;
    pointer_ = static_cast<std::uint8_t>((pointer_ + 1U) % register_count);
    return true;
}

std::uint8_t Ds3231::read(Time now) {
    const std::uint8_t byte = registers_[pointer_];
    pointer_ = static_cast<std::uint8_t>((pointer_ + 1U) % register_count);
    if (pointer_ == 0) latch(now);
    return byte;
}

void Ds3231::end(Time now) {
    store(now);
    touched_ = 0;
}

bool Ds3231::day_matches(std::int64_t unix_s) const {
    const std::uint8_t wanted = registers_[alarm_register + 3];
    if ((wanted & mask_bit) != 0) return true;
    if ((wanted & weekday_bit) != 0)
        return day_of_week(floor_days(unix_s)) == from_bcd(wanted & 0x0FU);
    return static_cast<int>(static_cast<unsigned>(date_of(unix_s).day())) ==
           from_bcd(wanted & 0x3FU);
}

std::optional<std::int64_t> Ds3231::first_match(std::int64_t from, std::int64_t to) const {
    struct Field {
        std::int64_t length_s; ///< of one unit
        std::int64_t count;    ///< of them before it starts over
        unsigned bits;
    };
    constexpr std::array<Field, 3> fields{{{1, 60, 0x7F}, {60, 60, 0x7F}, {3600, 24, 0x3F}}};

    for (std::int64_t at = from; at <= to;) {
        if (!day_matches(at)) {
            at = (floor_days(at) + 1) * seconds_per_day;
            continue;
        }
        // Go on to the next beginning of the coarsest unit that does not match.
        std::int64_t next = at;
        for (std::size_t i = fields.size(); i-- > 0 && next == at;) {
            const std::uint8_t wanted = registers_[alarm_register + i];
            if ((wanted & mask_bit) != 0) continue;
            const Field& field = fields[i];
            const std::int64_t unit = at / field.length_s;
            const std::int64_t missing =
                (from_bcd(wanted & field.bits) - unit % field.count + field.count) % field.count;
            if (missing != 0) next = (unit + missing) * field.length_s;
        }
        if (next == at) return at;
        at = next;
    }
    return std::nullopt;
}

void Ds3231::advance(Time now) {
    const std::int64_t shown = unix_s(now);
    if (first_match(checked_unix_s_ + 1, shown)) registers_[status_register] |= alarm_1_flag;
    checked_unix_s_ = std::max(checked_unix_s_, shown);
}

bool Ds3231::output_enabled() const {
    // From its battery pin alone the output works only with BBSQW.
    constexpr std::uint8_t needed = battery_backed_output | interrupt_control | alarm_1_enable;
    return (registers_[control_register] & needed) == needed;
}

bool Ds3231::interrupting() const {
    return output_enabled() && (registers_[status_register] & alarm_1_flag) != 0;
}

std::optional<Time> Ds3231::next_interrupt(Time now) const {
    if (!runs_ || !output_enabled() || interrupting()) return std::nullopt;
    const std::int64_t from = std::max(unix_s(now), checked_unix_s_) + 1;
    const auto match = first_match(from, from + longest_wait_days * seconds_per_day);
    if (!match) return std::nullopt;
    return time_of(*match);
}

} // namespace quaycell::bench
