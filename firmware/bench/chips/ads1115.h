// The cell converter: four inputs, 16 bits, single shot.
// Registers and timing from the chip's data sheet; what is left out is in LIMITS.md.
#pragma once

#include "bench/chips/i2c_slave.h"
#include "bench/on_time.h"

#include <functional>
#include <optional>

namespace quaycell::bench {

/// How this one differs from an ideal converter.
struct ConverterErrors {
    double offset_codes = 0;
    double gain_ppm = 0;
    double noise_codes = 0;          ///< standard deviation of one conversion
    double rate_error = 0;           ///< of its clock, -0.1 to 0.1
    double gain_drift_ppm_k = 0;     ///< of gain and reference together, from 25 degC
    double offset_drift_codes_k = 0; ///< from 25 degC
    double inl_codes = 0;   ///< largest departure from the straight line between its ends and 0
    std::uint64_t seed = 0; ///< of the noise
};

class Ads1115 : public I2cSlave {
  public:
    /// Mean voltage of AIN0 to AIN3 against ground over a conversion.
    using InputV = std::function<double(unsigned input, Time from, Time to)>;
    Ads1115(InputV input_v, std::function<double(Time)> temperature_c, ConverterErrors errors,
            Findings& findings);

    void begin(bool read, Time now) override;
    bool write(std::uint8_t byte, Time now) override;
    std::uint8_t read(Time now) override;
    void end(Time now) override;

    /// When the conversion in progress will be done.
    std::optional<Time> done_at() const { return done_at_; }
    /// Finishes a conversion that is done by `now`; true when ALERT/RDY pulses low.
    bool advance(Time now);
    /// ALERT/RDY stays low this long.
    static constexpr Time ready_pulse{8000};

    /// Where its drifts are counted from.
    static constexpr double reference_temperature_c = 25;

    /// As after its supply came back; whatever befell it is over.
    void power_on(Time now);
    /// It goes on answering, but no conversion ends any more.
    void fall_silent();
    /// Every conversion finds this code.
    void stick_at(std::int16_t code) { stuck_at_ = code; }
    std::uint64_t conversions() const { return conversions_; }
    /// How long it has been converting so far; the rest of the time it is in power-down.
    Time converting(Time now) const { return converting_.total(now); }

  private:
    void configure(std::uint16_t config, Time now);
    std::int16_t convert(Time from, Time to);
    std::uint16_t value_of(std::uint8_t pointer) const;

    InputV input_v_;
    std::function<double(Time)> temperature_c_;
    ConverterErrors errors_;
    Findings& findings_;
    std::uint8_t pointer_ = 0;
    std::int16_t result_ = 0;
    std::uint16_t config_ = 0, low_threshold_ = 0, high_threshold_ = 0;
    std::optional<Time> started_, done_at_;
    OnTime converting_;
    std::uint64_t conversions_ = 0;
    bool silent_ = false;
    std::optional<std::int16_t> stuck_at_;
    unsigned byte_ = 0; ///< of the transfer, the pointer included when writing
    std::uint16_t shift_ = 0;
};

} // namespace quaycell::bench
