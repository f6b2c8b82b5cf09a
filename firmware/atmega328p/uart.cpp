#include "atmega328p/uart.h"

#include "atmega328p/events.h"
#include "board/circuit.h"
#include "wire/frame.h"

#include <avr/interrupt.h>
#include <avr/io.h>

namespace quaycell {
namespace atmega328p {
namespace {

constexpr uint16_t divisor = board::cpu_hz / 16 / wire::baud_rate;
static_assert(divisor * 16 * wire::baud_rate == board::cpu_hz, "the baud rate is exact");

constexpr uint16_t longest_frame = wire::frame_length(sizeof(wire::SlotBlock));
constexpr uint8_t ring_size = 32; // two of the longest requests

uint8_t frame_bytes[longest_frame];
uint8_t to_send; // a frame is shorter than 256
uint8_t sent;
volatile bool sending = false;

uint8_t ring[ring_size];
volatile uint8_t ring_head = 0; // written by the interrupt
volatile uint8_t ring_tail = 0; // written by the main loop

static_assert(longest_frame < 256, "a byte counts a frame's bytes");

constexpr uint8_t after(uint8_t place) {
    return static_cast<uint8_t>((place + 1) % ring_size);
}

} // namespace

void Uart::enable(bool on) {
    UCSR0B = 0;
    sending = false;
    ring_tail = ring_head;
    if (!on) return;
    UBRR0 = divisor - 1;
    UCSR0A = 0;
    UCSR0C = (1U << UCSZ01) | (1U << UCSZ00);
    UCSR0B = (1U << RXEN0) | (1U << TXEN0) | (1U << RXCIE0) | (1U << TXCIE0);
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

uint8_t* Uart::frame() {
    return frame_bytes;
}

void Uart::send(uint16_t count) {
    to_send = static_cast<uint8_t>(count);
    sent = 0;
    sending = true;
    UCSR0B |= 1U << UDRIE0;
}

ISR(USART_UDRE_vect) {
    if (sent == to_send) {
        UCSR0B &= static_cast<uint8_t>(~(1U << UDRIE0));
        return;
    }
    UDR0 = frame_bytes[sent++];
}

// Comes only when nothing followed the last byte.
ISR(USART_TX_vect) {
    if (sent != to_send) return;
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
