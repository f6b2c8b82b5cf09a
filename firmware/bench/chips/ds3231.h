// The clock chip, running from its battery pin as the board wires it: time, alarm 1, temperature.
// Registers from the chip's data sheet; what is left out is in LIMITS.md.
#pragma once

#include "bench/chips/i2c_slave.h"

#include <array>
#include <functional>
#include <optional>

namespace quaycell::bench {

class Ds3231 : public I2cSlave {
  public:
    /// `unix_s` is what it shows at time 0, nothing for a chip that has lost its battery.
    Ds3231(std::optional<std::int64_t> unix_s, double drift_ppm,
           std::function<double(Time)> temperature_c, Findings& findings);

    void begin(bool read, Time now) override;
    bool write(std::uint8_t byte, Time now) override;
    std::uint8_t read(Time now) override;
    void end(Time now) override;

    /// The time that it shows.
    std::int64_t unix_s(Time now) const;
    /// When alarm 1 will next pull INT low; nothing while it does already, is switched off or can
    /// never match.
    std::optional<Time> next_interrupt(Time now) const;
    /// Sets the alarm flag where a match has passed.
    void advance(Time now);
    /// Whether it pulls its INT pin low.
    bool interrupting() const;

    /// Its oscillator stands still, and it notices; it runs again.
    void stop(Time now);
    void run(Time now);
    /// It shows another time of itself.
    void jump(std::int64_t seconds);
    /// Its battery was flat: it begins where a new one does.
    void lose_power(Time now);

  private:
    static constexpr std::size_t register_count = 0x13;
    using Registers = std::array<std::uint8_t, register_count>;

    void latch(Time now);
    void store(Time now);
    bool day_matches(std::int64_t unix_s) const;
    std::optional<std::int64_t> first_match(std::int64_t from, std::int64_t to) const;
    bool output_enabled() const;
    Time time_of(std::int64_t unix_s) const;
    std::uint8_t day_of_week(std::int64_t days) const;

    double seconds_per_s_;
    std::function<double(Time)> temperature_c_;
    Findings& findings_;

    Time set_at_{0};              ///< when second `set_unix_s_` began
    std::int64_t set_unix_s_;     ///< shown from set_at_ on
    std::int64_t checked_unix_s_; ///< alarm matches up to here have been seen
    bool runs_ = true;
    int day_offset_ = 0; ///< the day of the week is whatever was written

    Registers registers_{};
    std::uint8_t pointer_ = 0;
    bool first_byte_ = false;
    std::uint32_t touched_ = 0; ///< registers written in this transfer
};

} // namespace quaycell::bench
