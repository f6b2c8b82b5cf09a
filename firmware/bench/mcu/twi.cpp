#include "bench/mcu/twi.h"

#include "board/circuit.h"

namespace quaycell::bench {

namespace {

// Status codes of a master, from the microcontroller's data sheet.
constexpr std::uint8_t started = 0x08, restarted = 0x10;
constexpr std::uint8_t write_address_ack = 0x18, write_address_nack = 0x20;
constexpr std::uint8_t sent_ack = 0x28, sent_nack = 0x30;
constexpr std::uint8_t read_address_ack = 0x40, read_address_nack = 0x48;
constexpr std::uint8_t received_ack = 0x50, received_nack = 0x58;
constexpr std::uint8_t nothing_to_tell = 0xF8;
constexpr std::uint8_t status_mask = 0xF8;

constexpr unsigned byte_bits = 9; // eight and the acknowledge
constexpr std::uint32_t fastest_hz = 400000;

} // namespace

Twi::Twi(Core& core, std::function<void()> transfer_ended)
    : core_(core), transfer_ended_(std::move(transfer_ended)),
      interrupt_(core, vector::twi, bits::TWIE), timer_(core, [this] { done(); }) {
    core.on_write(reg::TWCR, [this](std::uint8_t value) { control(value); });
    core.on_write(reg::TWSR, [this](std::uint8_t value) { // only the prescaler can be written
        std::uint8_t& status = core_.data(reg::TWSR);
        status = static_cast<std::uint8_t>((status & status_mask) | (value & 3U));
    });
    core.on_write(reg::TWDR, [this](std::uint8_t value) {
        // Outside TWINT the byte is lost, and TWWC says so.
        core_.set(bits::TWWC, !core_.is_set(bits::TWINT));
        if (core_.is_set(bits::TWINT)) core_.data(reg::TWDR) = value;
    });
    core.add(*this);
}

void Twi::set_present(std::uint8_t address, bool present) {
    if (present)
        missing_.erase(address);
    else
        missing_.insert(address);
}

void Twi::reset() {
    timer_.stop();
    slave_ = nullptr;
    bus_held_ = false;
    core_.data(reg::TWSR) = nothing_to_tell;
    core_.data(reg::TWDR) = 0xFF;
}

void Twi::refresh() {
    interrupt_.refresh(core_.is_set(bits::TWINT));
}

void Twi::sleeping(SleepMode mode) {
    if (mode != SleepMode::idle && timer_.running())
        core_.finding("asleep while the two-wire bus is busy");
}

std::uint64_t Twi::bit_cycles() const {
    const unsigned prescaler = core_.data(reg::TWSR) & 3U;
    return 16 + 2ULL * core_.data(reg::TWBR) * (1ULL << (2 * prescaler));
}

void Twi::control(std::uint8_t value) {
    core_.need_power(bits::PRTWI, "TWI");
    // Writing one to TWINT clears it, and that is what starts the next action.
    const bool clear = (value & bits::TWINT.mask()) != 0;
    const std::uint8_t kept_flag = clear ? 0 : core_.data(reg::TWCR) & bits::TWINT.mask();
    core_.data(reg::TWCR) = static_cast<std::uint8_t>((value & ~bits::TWINT.mask()) | kept_flag);
    refresh();
    if (!core_.is_set(bits::TWEN)) {
        timer_.stop();
        if (bus_held_) stop();
        return;
    }
    if (clear) act(value);
}

void Twi::act(std::uint8_t value) {
    if ((value & bits::TWSTO.mask()) != 0) {
        stop();
        core_.set(bits::TWSTO, false); // at once; the bus time of a stop is one bit
        if ((value & bits::TWSTA.mask()) == 0) return;
    }
    if ((value & bits::TWSTA.mask()) != 0) {
        if (board::cpu_hz / bit_cycles() > fastest_hz)
            core_.finding("two-wire bus faster than 400 kHz");
        take(Action::start, 1);
    } else if (!bus_held_) {
        return;
    } else if (address_next_) {
        take(Action::address, byte_bits);
    } else {
        take(reading_ ? Action::read : Action::write, byte_bits);
    }
}

void Twi::take(Action action, unsigned bit_times) {
    action_ = action;
    timer_.start(bit_times * bit_cycles());
    busy_cycles_ += bit_times * bit_cycles();
}

void Twi::done() {
    if (clock_held_) return;
    const Time now = core_.now();
    std::uint8_t& byte = core_.data(reg::TWDR);
    switch (action_) {
    case Action::start:
        if (held_) return;
        let_go();
        address_next_ = true;
        report(bus_held_ ? restarted : started);
        bus_held_ = true;
        break;
    case Action::address: {
        const auto address = static_cast<std::uint8_t>(byte >> 1);
        const auto found = missing_.contains(address) ? slaves_.end() : slaves_.find(address);
        reading_ = (byte & 1U) != 0;
        address_next_ = false;
        slave_ = found == slaves_.end() ? nullptr : found->second;
        if (slave_ != nullptr) slave_->begin(reading_, now);
        if (reading_)
            report(slave_ != nullptr ? read_address_ack : read_address_nack);
        else
            report(slave_ != nullptr ? write_address_ack : write_address_nack);
        break;
    }
    case Action::write: {
        const bool acknowledged = slave_ != nullptr && slave_->write(byte, now);
        report(acknowledged ? sent_ack : sent_nack);
        break;
    }
    case Action::read:
        byte = slave_ != nullptr ? slave_->read(now) : std::uint8_t{0xFF};
        report(core_.is_set(bits::TWEA) ? received_ack : received_nack);
        break;
    }
}

void Twi::report(std::uint8_t status) {
    core_.data(reg::TWSR) = static_cast<std::uint8_t>(status | (core_.data(reg::TWSR) & 3U));
    core_.set(bits::TWINT);
    refresh();
}

void Twi::let_go() {
    if (slave_ == nullptr) return;
    slave_->end(core_.now());
    slave_ = nullptr;
    transfer_ended_();
}

void Twi::stop() {
    let_go();
    bus_held_ = false;
    core_.data(reg::TWSR) =
        static_cast<std::uint8_t>(nothing_to_tell | (core_.data(reg::TWSR) & 3U));
}

} // namespace quaycell::bench
