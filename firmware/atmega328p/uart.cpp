#include "atmega328p/uart.h"

#include "atmega328p/clocks.h"
#include "atmega328p/events.h"
#include "board/circuit.h"
#include "wire/frame.h"

#include <avr/interrupt.h>
#include <avr/io.h>

namespace quaycell {
namespace atmega328p {
namespace {

// With the doubled clock of the UART, which alone reaches the fastest speed.
constexpr uint8_t slowest_divisor = board::cpu_hz / 8 / wire::baud_rate;
static_assert(slowest_divisor * 8 * wire::baud_rate == board::cpu_hz, "the baud rate is exact");
static_assert((slowest_divisor >> wire::fastest_speed) << wire::fastest_speed == slowest_divisor,
              "and so are all the faster ones");

constexpr uint16_t longest_frame = wire::frame_length(sizeof(wire::SlotBlock));
constexpr uint8_t ring_size = 32; // two of the longest requests

uint8_t frames[2][longest_frame];
uint8_t filling = 0;            // of the two, which the main loop may write
const uint8_t* next_byte;       // to go out; only the interrupt's while it is on
const uint8_t* following_frame; // when `follows`
volatile bool follows = false;
volatile bool sending = false;
volatile uint8_t divisor; // for what comes after what is being sent

uint8_t ring[ring_size];
volatile uint8_t ring_head = 0; // written by the interrupt
volatile uint8_t ring_tail = 0; // written by the main loop

constexpr uint8_t after(uint8_t place) {
    return static_cast<uint8_t>((place + 1) % ring_size);
}

} // namespace

void Uart::enable(bool on) {
    clock_on(1U << PRUSART0);
    UCSR0B = 0;
    sending = false;
    follows = false;
    ring_tail = ring_head;
    if (!on) {
        clock_off(1U << PRUSART0);
        return;
    }
    set_speed(0);
    UCSR0A = 1U << U2X0;
    UCSR0C = (1U << UCSZ01) | (1U << UCSZ00);
    UCSR0B = (1U << RXEN0) | (1U << TXEN0) | (1U << RXCIE0) | (1U << TXCIE0);
}

void Uart::set_speed(uint8_t speed) {
    divisor = static_cast<uint8_t>((slowest_divisor >> speed) - 1);
    if (!sending) UBRR0 = divisor;
}

bool Uart::take(uint8_t& byte) {
    if (ring_tail == ring_head) return false;
    byte = ring[ring_tail];
    ring_tail = after(ring_tail);
    return true;
}

bool Uart::idle() {
    return !sending;
}

bool Uart::ready() {
    return !follows;
}

uint8_t* Uart::frame() {
    return frames[filling];
}

void Uart::send() {
    const uint8_t* const frame = frames[filling];
    filling ^= 1U;
    cli();
    if ((UCSR0B & (1U << UDRIE0)) != 0) {
        following_frame = frame;
        follows = true;
    } else {
        next_byte = frame;
        sending = true;
        UCSR0B |= 1U << UDRIE0;
    }
    sei();
}

// At the fastest speed a byte takes eighty cycles, of which this takes two thirds: so it has no
// count, but knows a frame's end by the only zero in it, and nothing is called from here.
ISR(USART_UDRE_vect) {
    const uint8_t byte = *next_byte++;
    UDR0 = byte;
    if (byte != 0) return;
    raise_event(event_sent);
    next_byte = following_frame;
    if (!follows) UCSR0B &= static_cast<uint8_t>(~(1U << UDRIE0));
    follows = false;
}

// Comes only when nothing followed the last byte.
ISR(USART_TX_vect) {
    if ((UCSR0B & (1U << UDRIE0)) != 0) return;
    UBRR0 = divisor;
    sending = false;
    raise_event(event_sent);
}

ISR(USART_RX_vect) {
    const uint8_t byte = UDR0;
    raise_event(event_received);
    const uint8_t next = after(ring_head);
    if (next == ring_tail) return;
    ring[ring_head] = byte;
    ring_head = next;
}

} // namespace atmega328p
} // namespace quaycell
