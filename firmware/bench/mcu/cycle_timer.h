// A one-shot alarm in clock cycles.
#pragma once

#include "bench/mcu/core.h"

#include <sim_avr.h>

#include <functional>

namespace quaycell::bench {

class CycleTimer {
  public:
    /// `fire` may start the timer again. A reset of the core forgets a running timer.
    CycleTimer(Core& core, std::function<void()> fire) : core_(core), fire_(std::move(fire)) {}
    CycleTimer(const CycleTimer&) = delete;
    CycleTimer& operator=(const CycleTimer&) = delete;
    ~CycleTimer() { stop(); }

    void start(std::uint64_t cycles) {
        running_ = true;
        avr_cycle_timer_register(core_.simulator(), cycles, fired, this);
    }
    void start_at(Time when) {
        const std::uint64_t due = Core::cycle_at(when);
        start(due > core_.cycle() ? due - core_.cycle() : 1);
    }
    void stop() {
        if (running_) avr_cycle_timer_cancel(core_.simulator(), fired, this);
        running_ = false;
    }
    bool running() const { return running_; }

    static bool is_ours(avr_cycle_timer_t timer) { return timer == fired; }

  private:
    static avr_cycle_count_t fired(avr_t*, avr_cycle_count_t, void* self) {
        auto* const timer = static_cast<CycleTimer*>(self);
        timer->running_ = false;
        timer->fire_();
        return 0;
    }

    Core& core_;
    std::function<void()> fire_;
    bool running_ = false;
};

} // namespace quaycell::bench
