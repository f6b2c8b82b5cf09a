// Water thermistor and battery divider on the microcontroller's converter, powered only while read.
//
// The battery is read while the controller works: a battery at rest looks fuller than it is.
//
// Adc:    uint16_t sum(uint8_t channel, uint8_t count, bool awake)   with a first reading thrown
//         away
//         void on(), void off()
// Supply: static void on(), static void off()
// Delay:  static void microseconds(uint8_t)
#pragma once

#include "board/circuit.h"
#include "board/pins.h"

namespace quaycell {
namespace chips {

template <typename Adc, typename Supply, typename Delay>
class Sensors {
  public:
    explicit constexpr Sensors(Adc& adc) : adc_(adc) {}

    /// Sums of board::sum_of readings each, 0 to board::sum_full_scale.
    void read(uint16_t& water, uint16_t& battery) {
        Supply::on();
        adc_.on();
        Delay::microseconds(board::sensor_settling_us);
        water = adc_.sum(board::adc_thermistor, board::sum_of, false);
        battery = adc_.sum(board::adc_battery, board::sum_of, true);
        adc_.off();
        Supply::off();
    }

  private:
    Adc& adc_;
};

} // namespace chips
} // namespace quaycell
