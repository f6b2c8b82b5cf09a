// How long everything that draws current has done so; with the currents of currents.csv that makes
// the battery's life. Counts what the firmware does, whatever it is.
#pragma once

#include "bench/chips/ads1115.h"
#include "bench/chips/nor.h"
#include "bench/mcu/adc.h"
#include "bench/mcu/gpio.h"
#include "bench/mcu/twi.h"
#include "bench/mcu/watchdog.h"

#include <string>

namespace quaycell::bench {

/// A span of time by what drew current in it.
struct EnergyUse {
    Time span{};
    CycleCount cycles;
    Time watchdog{}, adc_on{};
    Time two_wire_bus{};
    Time converter{}; ///< converting
    NorTime flash;
    std::uint64_t conversions = 0, programs = 0, erases = 0, lamp_blinks = 0;
    Time sensors{}, lamp{};
    Time host{}; ///< the isolator has a computer on its other side
};

EnergyUse operator+(const EnergyUse& a, const EnergyUse& b);
EnergyUse operator-(const EnergyUse& later, const EnergyUse& earlier);

/// One line of JSON: "cycles" of the microcontroller by state, "seconds" by the names that
/// currents.csv uses, "counts".
std::string to_json(const EnergyUse& use);

/// The parts that have counters.
struct CountedParts {
    Core& core;
    Gpio& gpio;
    const Ads1115& converter;
    const Nor& flash;
    const Twi& twi;
    Adc& adc;
    const Watchdog& watchdog;
};

class EnergyMeter {
  public:
    /// The parts outlive the meter.
    explicit EnergyMeter(const CountedParts& parts);

    EnergyUse use() const;
    /// Of that, while the AC inputs were sampled at about 1 kHz.
    const EnergyUse& ac_burst() const { return ac_burst_.total(); }
    /// And while the stimulus was switched to and fro.
    const EnergyUse& stimulus() const { return stimulus_.total(); }

    std::uint64_t lamp_blinks() const { return lamp_blinks_; }

  private:
    /// What was used between events that follow each other closely.
    class Stretch {
      public:
        explicit Stretch(Time longest_gap) : longest_gap_(longest_gap) {}
        bool lasts(Time now) const { return last_ && now - last_->span <= longest_gap_; }
        void event(const EnergyUse& now) {
            if (lasts(now.span)) total_ = total_ + (now - *last_);
            last_ = now;
        }
        const EnergyUse& total() const { return total_; }

      private:
        Time longest_gap_;
        EnergyUse total_;
        std::optional<EnergyUse> last_;
    };

    void ac_sampled();

    CountedParts parts_;
    OnTime sensors_, lamp_, host_;
    std::uint64_t lamp_blinks_ = 0;
    // Twice the sampling interval of 1 ms; half a period of the square wave of 125 Hz.
    Stretch ac_burst_{std::chrono::milliseconds{2}}, stimulus_{std::chrono::milliseconds{5}};
};

} // namespace quaycell::bench
