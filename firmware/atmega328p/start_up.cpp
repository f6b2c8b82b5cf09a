// Before the C runtime: fills the memory above the static variables with a pattern, so that the
// simulated board can see afterwards how deep the stack has reached. It runs from the linker's _end
// (first byte above .data, .bss and .noinit) to RAMEND; the bytes still 0xC5 from _end up were
// never used.
#include <avr/io.h>

namespace {

__attribute__((naked, used, section(".init1"))) void paint_memory() {
    asm volatile("ldi r30, lo8(_end)  \n"
                 "ldi r31, hi8(_end)  \n"
                 "ldi r24, 0xC5       \n"
                 "ldi r25, hi8(%0)    \n"
                 "1: st Z+, r24       \n"
                 "cpi r30, lo8(%0)    \n"
                 "cpc r31, r25        \n"
                 "brlo 1b             \n" ::"i"(RAMEND + 1)
                 : "memory");
}

} // namespace
