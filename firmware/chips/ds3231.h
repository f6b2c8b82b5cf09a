// The clock chip, running from its battery pin. Register numbers and bits: from the data sheet,
// from memory.
//
// Bus is the two-wire bus:
//   bool write(uint8_t address, const uint8_t*, uint8_t count)
//   bool read(uint8_t address, uint8_t reg, uint8_t*, uint8_t count)
// both false when the chip does not answer.
#pragma once

#include "board/pins.h"
#include "chips/calendar.h"
#include "wire/bytes.h"

namespace quaycell {
namespace chips {

template <typename Bus>
class Ds3231 {
  public:
    explicit constexpr Ds3231(Bus& bus) : bus_(bus) {}

    /// Alarm 1 on the INT pin, also when running from the battery pin; oscillator on; 32 kHz off.
    bool begin() {
        bool lost = false;
        int16_t board = 0;
        if (!read_health(lost, board)) return false;
        const uint8_t control[] = {control_register, on_battery | alarm_on_int | alarm_1};
        return bus_.write(board::clock_address, control, sizeof control);
    }

    /// Whether it can show this time at all.
    static bool shows(uint32_t unix_s) { return unix_s >= unix_2000_s && unix_s < unix_2100_s; }

    /// What the clock shows, set or not. False when it does not answer or shows no civil time.
    bool read_time(uint32_t& unix_s) {
        uint8_t r[sizeof(Civil)];
        if (!bus_.read(board::clock_address, seconds_register, r, sizeof r)) return false;
        r[2] &= 0x3F; // 24 hours a day
        r[5] &= 0x1F; // no century
        for (uint8_t& field : r)
            field = static_cast<uint8_t>((field >> 4) * 10 + (field & 0x0F));
        const Civil civil = wire::from_bytes<Civil>(r);
        if (!is_civil(civil)) return false;
        unix_s = to_unix(civil);
        return true;
    }

    /// lost_power: it stopped since it was last set, so what it shows is no time of day.
    /// board: its temperature, [0.25 degC].
    bool read_health(bool& lost_power, int16_t& board) {
        uint8_t r[4]; // status, ageing, temperature
        if (!bus_.read(board::clock_address, status_register, r, sizeof r)) return false;
        lost_power_ = (r[0] & oscillator_stopped) != 0;
        lost_power = lost_power_;
        board = static_cast<int16_t>(static_cast<int16_t>((r[2] << 8) | r[3]) >> 6);
        return true;
    }

    /// unix_s: a time that it shows.
    bool set_time(uint32_t unix_s) {
        uint8_t time[1 + sizeof(Civil)] = {seconds_register};
        wire::to_bytes(from_unix(unix_s), time + 1);
        to_bcd(time + 1, sizeof(Civil));
        if (!bus_.write(board::clock_address, time, sizeof time)) return false;
        lost_power_ = false;
        return clear_alarm();
    }

    /// INT falls when the clock next shows this time of day, and is released until then.
    bool set_alarm(uint32_t unix_s) {
        const Civil c = time_of_day(unix_s);
        uint8_t alarm[] = {alarm_1_register, c.second, c.minute, c.hour, any_day};
        to_bcd(alarm + 1, 3);
        return bus_.write(board::clock_address, alarm, sizeof alarm) && clear_alarm();
    }

  private:
    static constexpr uint8_t seconds_register = 0x00;
    static constexpr uint8_t alarm_1_register = 0x07;
    static constexpr uint8_t control_register = 0x0E;
    static constexpr uint8_t status_register = 0x0F;
    static constexpr uint8_t on_battery = 0x40;         // BBSQW
    static constexpr uint8_t alarm_on_int = 0x04;       // INTCN
    static constexpr uint8_t alarm_1 = 0x01;            // A1IE
    static constexpr uint8_t oscillator_stopped = 0x80; // OSF
    static constexpr uint8_t any_day = 0x80;            // A1M4

    static void to_bcd(uint8_t* fields, uint8_t count) {
        for (uint8_t i = 0; i < count; ++i)
            fields[i] = static_cast<uint8_t>(fields[i] / 10 * 16 + fields[i] % 10);
    }

    /// Clears both alarm flags and leaves the stopped flag as it was found.
    bool clear_alarm() {
        const uint8_t status[] = {status_register, lost_power_ ? oscillator_stopped : uint8_t{0}};
        return bus_.write(board::clock_address, status, sizeof status);
    }

    Bus& bus_;
    bool lost_power_ = true;
};

} // namespace chips
} // namespace quaycell
