#include "bench/mcu/uart.h"

#include "board/circuit.h"
#include "wire/messages.h"

#include <cmath>

namespace quaycell::bench {

namespace {

constexpr std::uint64_t frame_bits = 10; // start, eight, stop
constexpr std::size_t buffered_bytes = 3;
// Two ends sampling the middle of the bits lose a frame beyond about this (our judgement, within
// the data sheet's recommended limits).
constexpr double largest_rate_error = 0.02;

constexpr std::uint64_t bit_cycles_at(std::uint32_t baud) {
    return board::cpu_hz / baud;
}

// What a receiver hears that looks at the line in the middle of its own bits, counted from the
// start's edge. After the byte the line rests high.
std::uint8_t heard(std::uint8_t byte, std::uint64_t bit_sent, std::uint64_t bit_expected) {
    const unsigned levels = 0x200U | (static_cast<unsigned>(byte) << 1); // low, eight bits, high
    unsigned result = 0;
    for (unsigned bit = 0; bit < 8; ++bit) {
        const std::uint64_t place = (2 * bit + 3) * bit_expected / (2 * bit_sent);
        if (place > 9 || ((levels >> place) & 1U) != 0) result |= 1U << bit;
    }
    return static_cast<std::uint8_t>(result);
}

} // namespace

Uart::Uart(Core& core, std::function<void(std::uint8_t)> sent, std::function<void(bool)> line)
    : core_(core), sent_(std::move(sent)), line_(std::move(line)),
      received_interrupt_(core, vector::uart_received, bits::RXCIE0),
      empty_interrupt_(core, vector::uart_data_empty, bits::UDRIE0),
      sent_interrupt_(core, vector::uart_sent, bits::TXCIE0, bits::TXC0),
      transmit_(core, [this] { byte_sent(); }), arrive_(core, [this] { byte_received(); }),
      host_bit_cycles_(bit_cycles_at(wire::baud_rate)) {
    core.on_write(reg::UDR0, [this](std::uint8_t value) { write_data(value); });
    core.on_read(reg::UDR0, [this] { return read_data(); });
    core.on_write(reg::UCSR0A, [this](std::uint8_t value) {
        core_.set(bits::U2X0, (value & bits::U2X0.mask()) != 0);
        if ((value & bits::TXC0.mask()) != 0) core_.set(bits::TXC0, false);
        refresh();
    });
    core.on_write(reg::UCSR0B, [this](std::uint8_t value) {
        core_.data(reg::UCSR0B) = value;
        if (!core_.is_set(bits::RXEN0)) { // switching the receiver off empties it
            received_.clear();
            core_.set(bits::RXC0, false);
        }
        refresh();
    });
    core.add(*this);
}

void Uart::reset() {
    transmit_.stop();
    arrive_.stop();
    received_.clear();
    core_.data(reg::UCSR0A) = bits::UDRE0.mask();
}

void Uart::refresh() {
    received_interrupt_.refresh(core_.is_set(bits::RXC0));
    empty_interrupt_.refresh(core_.is_set(bits::UDRE0));
    sent_interrupt_.refresh(core_.is_set(bits::TXC0));
}

void Uart::sleeping(SleepMode mode) {
    if (mode == SleepMode::idle || !sending()) return;
    core_.finding("asleep while the UART is sending: the byte is torn");
    transmit_.stop();
    core_.set(bits::UDRE0);
}

void Uart::set_host_baud(std::uint32_t baud) {
    host_bit_cycles_ = bit_cycles_at(baud);
}

std::uint64_t Uart::host_byte_cycles() const {
    return frame_bits * host_bit_cycles_;
}

std::uint64_t Uart::bit_cycles() const {
    const unsigned divider = core_.data(reg::UBRR0L) | ((core_.data(reg::UBRR0H) & 0x0FU) << 8);
    return (divider + 1ULL) * (core_.is_set(bits::U2X0) ? 8 : 16);
}

void Uart::write_data(std::uint8_t byte) {
    core_.need_power(bits::PRUSART0, "UART");
    if (!core_.is_set(bits::TXEN0)) {
        core_.finding("UDR0 written while the transmitter is off");
    } else if (!sending()) {
        shift_out(byte);
    } else if (core_.is_set(bits::UDRE0)) {
        waiting_ = byte;
        core_.set(bits::UDRE0, false);
    } else {
        core_.finding("UDR0 written while it is full: the byte is lost");
    }
    refresh();
}

void Uart::shift_out(std::uint8_t byte) {
    shifting_ = byte;
    check_speed();
    transmit_.start(frame_bits * bit_cycles());
}

void Uart::check_speed() const {
    const double rate = static_cast<double>(board::cpu_hz) / static_cast<double>(bit_cycles());
    for (std::uint8_t speed = 0; speed <= wire::fastest_speed; ++speed)
        if (std::abs(rate / wire::baud_of(speed) - 1) <= largest_rate_error) return;
    core_.finding("UART sends at a baud rate that no host listens at");
}

void Uart::byte_sent() {
    sent_(heard(shifting_, bit_cycles(), host_bit_cycles_));
    if (core_.is_set(bits::UDRE0)) {
        core_.set(bits::TXC0);
    } else {
        core_.set(bits::UDRE0);
        shift_out(waiting_);
    }
    refresh();
}

void Uart::receive(std::uint8_t byte) {
    arriving_ = byte;
    heard_start_ = core_.peripherals_clocked();
    line_(false);
    arrive_.start(host_byte_cycles());
}

void Uart::byte_received() {
    line_(true);
    // Without a clock at both ends of the byte, or switched off, it is not heard.
    if (!heard_start_ || !core_.peripherals_clocked() || !core_.is_set(bits::RXEN0)) return;
    if (received_.size() == buffered_bytes) {
        core_.set(bits::DOR0);
        return;
    }
    received_.push_back(heard(arriving_, host_bit_cycles_, bit_cycles()));
    core_.set(bits::RXC0);
    refresh();
}

std::uint8_t Uart::read_data() {
    if (received_.empty()) return 0;
    const std::uint8_t byte = received_.front();
    received_.pop_front();
    core_.set(bits::DOR0, false);
    core_.set(bits::RXC0, !received_.empty());
    refresh();
    return byte;
}

} // namespace quaycell::bench
