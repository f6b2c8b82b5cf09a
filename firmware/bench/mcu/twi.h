// The two-wire bus as master; polled and interrupt-driven alike.
#pragma once

#include "bench/chips/i2c_slave.h"
#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"

#include <map>
#include <set>

namespace quaycell::bench {

class Twi : public Peripheral {
  public:
    /// `transfer_ended` is called after a chip has been let go.
    Twi(Core& core, std::function<void()> transfer_ended);

    /// `slave` outlives the bus.
    void connect(std::uint8_t address, I2cSlave& slave) { slaves_[address] = &slave; }

    /// A chip that is not there does not answer.
    void set_present(std::uint8_t address, bool present);

    /// Something holds SDA low, or lets it go: meanwhile no start comes through.
    void hold(bool held) { held_ = held; }
    /// The same of SCL: meanwhile nothing that is begun ends.
    void hold_clock(bool held) { clock_held_ = held; }

    /// How long bits have been moving on the bus, [clock cycles].
    std::uint64_t busy_cycles() const { return busy_cycles_; }

    void reset() override;
    void refresh() override;
    void sleeping(SleepMode mode) override;

  private:
    enum class Action { start, address, write, read };

    void control(std::uint8_t value);
    void act(std::uint8_t value);
    void take(Action action, unsigned bit_times);
    void done();
    void report(std::uint8_t status);
    void stop();
    void let_go();
    std::uint64_t bit_cycles() const;

    Core& core_;
    std::function<void()> transfer_ended_;
    Interrupt interrupt_;
    CycleTimer timer_;
    std::map<std::uint8_t, I2cSlave*> slaves_;
    std::set<std::uint8_t> missing_;
    I2cSlave* slave_ = nullptr; ///< addressed now, and answering
    Action action_ = Action::start;
    std::uint64_t busy_cycles_ = 0;
    bool bus_held_ = false; ///< between start and stop
    bool held_ = false;
    bool clock_held_ = false;
    bool reading_ = false;
    bool address_next_ = false;
};

} // namespace quaycell::bench
