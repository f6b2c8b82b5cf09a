// The microcontroller: libsimavr's instruction set and timers under a run loop of our own, which
// knows the sleep states, the oscillator's start-up and what the peripherals may not do while
// asleep.
#pragma once

#include "bench/findings.h"
#include "bench/mcu/firmware.h"
#include "bench/mcu/registers.h"

#include <array>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

struct avr_t;
struct avr_irq_t;

namespace quaycell::bench {

/// The firmware ran off the rails; what() says where.
class FirmwareCrashed : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// SMCR's sleep mode numbers.
enum class SleepMode : std::uint8_t {
    idle = 0,
    adc_noise_reduction = 1,
    power_down = 2,
    power_save = 3,
    standby = 6,
    extended_standby = 7,
};

/// Clock cycles spent in each state since the start; what the energy estimate rests on.
struct CycleCount {
    std::uint64_t active = 0;
    std::uint64_t starting = 0;            ///< waiting for the crystal after a wake-up
    std::array<std::uint64_t, 8> asleep{}; ///< by SleepMode
    /// With the brown-out detector switched off for the sleep.
    std::uint64_t without_brown_out = 0;
    /// By PRR's bits: how long a part had its clock because PRR did not switch it off.
    std::array<std::uint64_t, 8> part_clocked{};
    std::uint64_t starts = 0; ///< of the crystal, after wake-ups
};

class Peripheral {
  public:
    Peripheral() = default;
    Peripheral(const Peripheral&) = delete;
    Peripheral& operator=(const Peripheral&) = delete;
    virtual ~Peripheral() = default;

    /// Registers and timers as after a reset; called last, when the simulator has done its own.
    virtual void reset() = 0;
    /// Asks for the interrupts whose conditions stand; called whenever the core comes up for air.
    virtual void refresh() {}
    /// The core has executed SLEEP.
    virtual void sleeping(SleepMode) {}
};

class Core {
  public:
    /// Loads the firmware and resets. `findings` outlives the core.
    Core(const Firmware& firmware, Findings& findings);
    ~Core();
    Core(const Core&) = delete;
    Core& operator=(const Core&) = delete;

    /// In the order in which they are reset; `peripheral` outlives the core's running.
    void add(Peripheral& peripheral) { peripherals_.push_back(&peripheral); }

    using Read = std::function<std::uint8_t()>;
    using Write = std::function<void(std::uint8_t)>;
    /// Puts our own handler in the place of the simulator's.
    void on_read(std::uint16_t address, Read read);
    void on_write(std::uint16_t address, Write write);

    std::uint8_t& data(std::uint16_t address) const { return data_[address]; }
    bool is_set(Bit bit) const { return (data(bit.address) & bit.mask()) != 0; }
    void set(Bit bit, bool on = true) const;
    /// SBI changes one bit, but the simulator writes back all eight: what is really written to a
    /// register in which ones act.
    std::uint8_t ones_written(std::uint8_t value) const;

    avr_t* simulator() const { return avr_; }
    std::uint64_t cycle() const;
    /// Of the world; restarts do not set it back.
    Time now() const { return time_of(cycle()); }
    static Time time_of(std::uint64_t cycles);
    /// The first cycle at or after `when`.
    static std::uint64_t cycle_at(Time when);
    /// False in every sleep but idle, and while the crystal starts: no clock for the peripherals.
    bool peripherals_clocked() const { return peripherals_clocked_; }

    /// Runs until the world's time is `until`; throws FirmwareCrashed.
    void run_until(Time until);

    /// A reset keeps SRAM; `cause` is or-ed into MCUSR. To be called between instructions.
    void reset(Bit cause);
    /// The same from inside a handler: it takes effect after the instruction.
    void reset_soon(Bit cause) { reset_cause_ = cause; }
    /// While the supply is too low to run: nothing happens but the reset, until it is let go.
    void hold_in_reset(bool held) { held_in_reset_ = held; }
    /// Supply gone and back: SRAM holds noise.
    void power_cycle(std::uint64_t seed);

    CycleCount cycles() const;
    void finding(std::string what) const { findings_.add(now(), std::move(what)); }
    /// A finding when `gate` of the power reduction register is set.
    void need_power(Bit gate, const char* part) const;

  private:
    void widen_data_space();
    void silence_stock_peripherals();
    void swap_access_signals();
    void step(std::uint64_t target);
    void fall_asleep();
    void wake_if_called();
    void serve_interrupts();
    void pass(std::uint64_t until, std::uint64_t& account);
    void switch_brown_out(std::uint8_t value);
    void switch_parts(std::uint8_t off);
    std::uint64_t clocked() const;
    void process_timers();
    void hold_foreign_timers();
    void release_foreign_timers();
    void ask_peripherals() const {
        for (Peripheral* peripheral : peripherals_)
            peripheral->refresh();
    }
    [[noreturn]] void crash(const std::string& why) const;

    struct HeldTimer;
    static constexpr std::size_t register_count = 0xE0;

    Findings& findings_;
    struct EndSimulator {
        void operator()(avr_t* avr) const;
    };
    std::unique_ptr<avr_t, EndSimulator> owned_;
    avr_t* avr_ = nullptr;
    std::uint8_t* data_ = nullptr; // its data space
    std::array<avr_irq_t*, register_count> access_signals_{};
    std::deque<Read> reads_;
    std::deque<Write> writes_;
    std::vector<Peripheral*> peripherals_;
    std::vector<HeldTimer> held_;
    std::uint64_t held_since_ = 0;
    CycleCount cycles_;
    std::optional<std::uint64_t> run_began_; ///< of instructions that cycles_ does not count yet
    std::uint8_t parts_off_ = 0;             ///< PRR
    std::uint64_t parts_since_ = 0;          ///< clocked() when they were switched
    std::uint64_t brown_out_window_ = 0, brown_out_off_until_ = 0;
    bool brown_out_off_ = false;
    std::optional<Bit> reset_cause_;
    bool held_in_reset_ = false;
    std::uint64_t held_cycles_ = 0; ///< of them
    bool asleep_ = false;
    bool peripherals_clocked_ = true;
};

} // namespace quaycell::bench
