// The whole logger on the bench: the microcontroller with the real firmware, the chips round it,
// and the sea they measure.
#pragma once

#include "bench/chips/ds3231.h"
#include "bench/energy.h"
#include "bench/mcu/eeprom.h"
#include "bench/mcu/interrupt_lengths.h"
#include "bench/mcu/spi.h"
#include "bench/mcu/uart.h"
#include "bench/sea/front_end.h"

#include <deque>
#include <limits>
#include <span>

namespace quaycell::bench {

/// Use of the 2 KB of SRAM, [bytes].
struct RamUse {
    std::uint16_t static_data;
    std::uint16_t stack;     ///< deepest so far
    std::uint16_t untouched; ///< never used since power came on
};

class Board : private Peripheral {
  public:
    /// Power comes on at the start of the scenario.
    Board(const Firmware& firmware, const Scenario& scenario);

    /// Throws FirmwareCrashed.
    void run_until(Time until) { core_.run_until(until); }
    void run_for(Time length) { core_.run_until(core_.now() + length); }
    Time now() const { return core_.now(); }

    /// A computer feeds the isolator, or no longer does.
    void set_host_present(bool present);
    bool host_present() const { return host_present_; }
    /// At which the host sends and listens.
    void set_host_baud(std::uint32_t baud) { uart_.set_host_baud(baud); }
    /// Queues bytes from the host; they arrive one after the other at that speed.
    void send(std::span<const std::uint8_t> bytes);
    bool line_idle() const {
        return to_logger_.empty() && !from_host_.running() && !uart_.sending();
    }
    /// The bytes that the logger has sent since the last call.
    std::vector<std::uint8_t> take_output();

    /// The supply fails this instant and comes back: what was being written is torn, SRAM is noise.
    void cut_power();
    /// The reset pin is pulled: the controller begins anew, the chips never notice.
    void reset_controller() { core_.reset(bits::EXTRF); }

    // What may befall it; LIMITS.md tells each. It holds until it is taken back.

    enum class Chip { converter, clock };
    /// It does not answer any more and its pin does not move; put back, the converter is as after
    /// power-on, whatever had befallen it, and the clock runs.
    void take_out(Chip chip);
    void put_back(Chip chip);
    void silence_converter();
    void stick_converter_at(std::int16_t code) { converter_.stick_at(code); }
    void stop_clock();
    void jump_clock(std::chrono::seconds by);
    void empty_clock_battery();
    /// Its alarm pin does not move any more.
    void mute_clock();

    /// The flash goes away, falls dumb or comes back.
    void set_flash(NorState state);

    static constexpr unsigned for_ever = std::numeric_limits<unsigned>::max();
    /// A chip left in the middle of a byte: it holds SDA low until it has seen so many clocks.
    void hold_bus(unsigned clocks);
    /// A chip holds SCL low, or lets it go.
    void hold_bus_clock(bool held);

    enum class Part { adc, spi, eeprom };
    /// What this part of the microcontroller begins never ends, or does again.
    void seize(Part part, bool seized);

    /// The batteries give this voltage, in place of the scenario's; nothing: the scenario's again.
    void set_battery(std::optional<double> mv);

    /// What the hardware would not have forgiven.
    const Findings& findings() const { return findings_; }
    RamUse ram_use() const;
    CycleCount cycles() const { return core_.cycles(); }
    const EnergyMeter& energy() const { return energy_; }
    const InterruptLengths& interrupts() const { return interrupts_; }

    /// What a person joins to the logger in the place of the sea.
    Calibrator& calibrator() { return front_end_.calibrator(); }

    const Nor& flash() const { return flash_; }
    /// Another content of the flash, of the same size; to be put in before running.
    void load_flash(std::span<const std::uint8_t> image);
    Eeprom& eeprom() { return eeprom_; }
    const Ads1115& converter() const { return converter_; }
    const Ds3231& clock() const { return clock_; }
    /// How often the lamp has been lit.
    std::uint64_t led_blinks() const { return energy_.lamp_blinks(); }

  private:
    // The chips are on their own timers, which a reset of the core forgets.
    void reset() override;
    void schedule_chips();
    double battery_mv() const;
    double supply_mv() const;
    void conversion_done();
    void clock_alarm();
    void next_byte_from_host();
    /// What AIN0 to AIN3 carry on average, [V].
    double converter_input_v(unsigned input, Time from, Time to) const;
    double adc_input_mv(std::uint8_t channel);
    void write_eeprom();

    Scenario scenario_;
    std::uint16_t ram_end_;
    Findings findings_;
    Core core_;
    Spi spi_; ///< before the pins: a reset stops it before it lets the select go
    Gpio gpio_;
    FrontEnd front_end_;
    Ads1115 converter_;
    Ds3231 clock_;
    Nor flash_;
    Twi twi_;
    Adc adc_;
    Eeprom eeprom_;
    Watchdog watchdog_;
    std::vector<std::uint8_t> output_;
    Uart uart_;
    EnergyMeter energy_;
    InterruptLengths interrupts_;
    CycleTimer conversion_, ready_pulse_, alarm_, from_host_;
    std::deque<std::uint8_t> to_logger_;
    bool host_present_ = false;
    std::uint64_t power_cycles_ = 0;
    unsigned clocks_to_release_ = 0; ///< of SDA
    bool clock_missing_ = false;
    bool clock_mute_ = false;
    std::optional<double> battery_mv_; ///< in place of the scenario's
    bool browned_out_ = false;
    bool memory_lost_ = false; ///< in the brown-out
};

} // namespace quaycell::bench
