// The wiring: which chip hangs on which bus, and the loop that never ends.
#include "atmega328p/adc.h"
#include "atmega328p/clocks.h"
#include "atmega328p/delay.h"
#include "atmega328p/eeprom.h"
#include "atmega328p/events.h"
#include "atmega328p/lamp.h"
#include "atmega328p/pin.h"
#include "atmega328p/sampler.h"
#include "atmega328p/spi.h"
#include "atmega328p/twi.h"
#include "atmega328p/uart.h"
#include "atmega328p/watchdog.h"
#include "board/profile.h"
#include "chips/ads1115.h"
#include "chips/ds3231.h"
#include "chips/nor_flash.h"
#include "chips/sensors.h"
#include "logger/logger.h"

#include <avr/interrupt.h>

namespace quaycell {
namespace {

using atmega328p::Adc;
using atmega328p::Delay;
using atmega328p::Spi;
using atmega328p::Twi;
using atmega328p::Watchdog;

struct SensorSupply {
    static void on() { atmega328p::set_high(board::sensor_supply); }
    static void off() { atmega328p::set_low(board::sensor_supply); }
};

struct Board {
    using Clock = chips::Ds3231<Twi>;
    using Converter = chips::Ads1115<Twi>;
    using Flash = chips::NorFlash<Spi, Delay>;
    using Sampler = atmega328p::Sampler;
    using Sensors = chips::Sensors<Adc, SensorSupply, Delay>;
    using Eeprom = atmega328p::Eeprom;
    using Line = atmega328p::Uart;

    static constexpr logger::Profile profile() { return board::profile(QUAYCELL_BUILD_ID); }

    /// With interrupts on: what waits here is watched already.
    void begin() {
        watchdog_every(8);
        atmega328p::make_output(board::led);
        atmega328p::make_output(board::stimulus_a);
        atmega328p::make_output(board::stimulus_b);
        atmega328p::make_output(board::sensor_supply);
        DIDR0 = 0x0F; // the analogue pins need no digital input
        ACSR = 1U << ACD;
        atmega328p::clock_off(0xFF); // each part asks for its own
        Twi::begin();
        Spi::begin();
        PCMSK0 = 1U << board::clock_alarm.bit;
        PCMSK2 = (1U << board::conversion_ready.bit) | (1U << board::host_present.bit);
        PCICR = (1U << PCIE0) | (1U << PCIE2);
        flash.begin();
    }

    static bool host_present() { return atmega328p::is_high(board::host_present); }
    static bool clock_alarm() { return !atmega328p::is_high(board::clock_alarm); }

    void watchdog_every(uint8_t seconds) {
        if (seconds == watchdog_s) return;
        watchdog_s = seconds;
        Watchdog::begin(seconds);
    }

    Clock clock;
    Converter converter;
    Flash flash;
    Sampler sampler;
    Sensors sensors;
    Eeprom eeprom;
    Line line;
    atmega328p::Lamp led;
    uint8_t watchdog_s;
};

} // namespace
} // namespace quaycell

int main() __attribute__((OS_main)); // nothing to save: it has no caller

int main() {
    using namespace quaycell;
    static Twi twi;
    static Spi spi;
    static Adc adc;
    static Board board{Board::Clock(twi),
                       Board::Converter(twi),
                       Board::Flash(spi),
                       {},
                       Board::Sensors(adc),
                       {},
                       {},
                       {},
                       0};
    static logger::Logger<Board> logger(board);

    sei(); // before anything that waits: the watchdog bites only once its interrupt has been served
    board.begin();
    logger.begin(Watchdog::reset_cause());
    for (;;) {
        const uint8_t events = atmega328p::take_events();
        Watchdog::rearm();
        const logger::Wake wake = {(events & atmega328p::event_watchdog) != 0 ? board.watchdog_s
                                                                              : uint8_t{0},
                                   (events & atmega328p::event_pin_d) != 0};
        switch (logger.step(wake)) {
        case logger::Sleep::none:
            break;
        case logger::Sleep::idle:
            atmega328p::idle_until_event();
            break;
        case logger::Sleep::power_down:
            atmega328p::power_down_until_event();
            break;
        }
    }
}
