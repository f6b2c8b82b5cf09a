#include "bench/mcu/interrupt_lengths.h"

#include "board/circuit.h"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <sim_avr.h>
#include <sim_interrupts.h>

namespace quaycell::bench {

namespace {

constexpr std::uint64_t return_cycles = 4; // the simulator tells of RETI before it has counted it

// From the data sheet's table (from memory, agreed with avr-libc's iom328p.h).
constexpr std::array<const char*, 26> names{
    "RESET",        "INT0",         "INT1",         "PCINT0",       "PCINT1",      "PCINT2",
    "WDT",          "TIMER2_COMPA", "TIMER2_COMPB", "TIMER2_OVF",   "TIMER1_CAPT", "TIMER1_COMPA",
    "TIMER1_COMPB", "TIMER1_OVF",   "TIMER0_COMPA", "TIMER0_COMPB", "TIMER0_OVF",  "SPI_STC",
    "USART_RX",     "USART_UDRE",   "USART_TX",     "ADC",          "EE_READY",    "ANALOG_COMP",
    "TWI",          "SPM_READY"};

} // namespace

InterruptLengths::InterruptLengths(Core& core) : core_(core) {
    avr_irq_register_notify(
        avr_get_interrupt_irq(core.simulator(), AVR_INT_ANY) + AVR_INT_IRQ_RUNNING, changed, this);
    core.add(*this);
}

void InterruptLengths::changed(avr_irq_t*, std::uint32_t vector, void* self) {
    static_cast<InterruptLengths*>(self)->changed(vector);
}

// Told before the simulator has put an entered vector on its list, and after it has taken off one
// that ended.
void InterruptLengths::changed(unsigned vector) {
    const std::uint64_t now = core_.cycle();
    if (core_.simulator()->interrupts.running_ptr == running_.size()) {
        if (vector != 0) running_.push_back({vector, now});
        return;
    }
    Routine& routine = routines_[running_.back().vector];
    const std::uint64_t length = now - running_.back().since + return_cycles;
    routine.longest = std::max(routine.longest, length);
    ++routine.runs;
    running_.pop_back();
}

std::string vector_name(unsigned vector) {
    return names.at(vector);
}

std::string to_json(const std::map<unsigned, InterruptLengths::Routine>& routines) {
    std::vector<std::string> rows;
    for (const auto& [vector, routine] : routines)
        rows.push_back(fmt::format("{{\"vector\":{},\"name\":\"{}\",\"runs\":{},"
                                   "\"longest_cycles\":{},\"longest_us\":{:.2f}}}",
                                   vector, vector_name(vector), routine.runs, routine.longest,
                                   static_cast<double>(routine.longest) * 1e6 / board::cpu_hz));
    return fmt::format("[{}]", fmt::join(rows, ","));
}

} // namespace quaycell::bench
