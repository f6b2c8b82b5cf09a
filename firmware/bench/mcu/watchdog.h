// The watchdog on its own 128 kHz oscillator: interrupt, reset, or one after the other.
#pragma once

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/interrupt.h"
#include "bench/on_time.h"

#include <sim_io.h>

namespace quaycell::bench {

class Watchdog : public Peripheral {
  public:
    explicit Watchdog(Core& core);
    ~Watchdog() override;

    /// How long its oscillator has run.
    Time running(Time now) const { return running_.total(now); }

    void reset() override;
    void refresh() override;

  private:
    /// What makes the instruction WDR reach us before the simulator's own watchdog.
    struct Hook {
        avr_io_t io;
        Watchdog* watchdog;
    };

    static int instruction(avr_io_t* io, std::uint32_t request, void*);
    void control(std::uint8_t value);
    void restart();
    void expired();
    void notice_served();

    Core& core_;
    Interrupt interrupt_;
    CycleTimer timer_, window_;
    Hook hook_{};
    OnTime running_;
    bool warning_ = false; ///< the flag stands, its handler has not run yet
};

} // namespace quaycell::bench
