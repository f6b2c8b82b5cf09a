// The same checks on the microcontroller itself. The outcome is left in GPIOR0 for the runner:
// the number of checks that pass, one after the other from the first.
#include "wire_checks.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

int main() __attribute__((OS_main));

int main() {
    GPIOR0 = 0;
    for (const quaycell::test::WireCheck& check : quaycell::test::wire_checks) {
        if (!check.passes()) break;
        GPIOR0 = static_cast<uint8_t>(GPIOR0 + 1);
    }
    // Asleep with interrupts off for good: the simulator takes it for the end.
    cli();
    sleep_mode();
    for (;;) {
    }
}
