#include "atmega328p/delay.h"

#include "board/circuit.h"

#define F_CPU 7372800UL // what <util/delay.h> wants; checked below
#include <util/delay.h>

namespace quaycell {
namespace atmega328p {

static_assert(F_CPU == board::cpu_hz, "one crystal");

void Delay::microseconds(uint8_t us) {
    while (us-- != 0)
        _delay_us(1);
}

} // namespace atmega328p
} // namespace quaycell
