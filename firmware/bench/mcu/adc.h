// The microcontroller's own converter, 10 bit, started by software or by sleep.
#pragma once

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"
#include "bench/on_time.h"

namespace quaycell::bench {

class Adc : public Peripheral {
  public:
    /// `input_mv` gives the voltage of a channel (0 to 7) at this moment.
    /// `supply_mv` is what it measures against.
    Adc(Core& core, std::function<double(std::uint8_t channel)> input_mv,
        std::function<double()> supply_mv);

    /// No conversion ends.
    void seize(bool seized) { seized_ = seized; }

    /// Called with the channel as each conversion starts.
    void on_start(std::function<void(std::uint8_t)> started) { started_ = std::move(started); }
    /// How long it has been switched on.
    Time enabled(Time now) const { return enabled_.total(now); }

    void reset() override;
    void refresh() override;
    void sleeping(SleepMode mode) override;

  private:
    void control(std::uint8_t value);
    void start();
    void done();
    double selected_mv() const;
    double reference_mv() const;

    Core& core_;
    std::function<double(std::uint8_t)> input_mv_;
    std::function<double()> supply_mv_;
    std::function<void(std::uint8_t)> started_;
    Interrupt interrupt_;
    CycleTimer timer_;
    OnTime enabled_;
    std::uint16_t converting_ = 0;
    bool first_ = true;
    bool seized_ = false;
};

} // namespace quaycell::bench
