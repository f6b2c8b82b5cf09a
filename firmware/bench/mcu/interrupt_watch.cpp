#include "bench/mcu/interrupt_watch.h"

#include <sim_avr.h>
#include <sim_interrupts.h>

namespace quaycell::bench {

namespace {

constexpr std::uint64_t reti_cycles = 4; // the simulator tells of it before it has counted them

} // namespace

InterruptWatch::InterruptWatch(Core& core) : core_(core) {
    avr_irq_register_notify(
        avr_get_interrupt_irq(core.simulator(), AVR_INT_ANY) + AVR_INT_IRQ_RUNNING, changed, this);
}

void InterruptWatch::changed(avr_irq_t*, std::uint32_t vector, void* self) {
    auto* const watch = static_cast<InterruptWatch*>(self);
    const std::uint64_t now = watch->core_.cycle();
    if (watch->running_ != 0) {
        const std::uint64_t cycles = now - watch->since_ + reti_cycles;
        if (cycles > watch->longest_.cycles) watch->longest_ = {watch->running_, cycles};
    }
    watch->running_ = vector;
    watch->since_ = now;
}

} // namespace quaycell::bench
