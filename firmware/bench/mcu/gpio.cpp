#include "bench/mcu/gpio.h"

namespace quaycell::bench {

namespace {

constexpr Bit enable(std::uint8_t port) {
    return {reg::PCICR, port};
}
constexpr Bit flag(std::uint8_t port) {
    return {reg::PCIFR, port};
}

} // namespace

Gpio::Gpio(Core& core)
    : core_(core), change_b_(core, vector::pin_change_0, enable(0), flag(0)),
      change_c_(core, vector::pin_change_0 + 1, enable(1), flag(1)),
      change_d_(core, vector::pin_change_0 + 2, enable(2), flag(2)) {
    for (std::size_t i = 0; i < ports_.size(); ++i) {
        Port& port = ports_[i];
        port.pin = static_cast<std::uint16_t>(reg::PINB + 3 * i);
        port.direction = static_cast<std::uint16_t>(port.pin + 1);
        port.output = static_cast<std::uint16_t>(port.pin + 2);
        port.mask = static_cast<std::uint16_t>(reg::PCMSK0 + i);
        core.on_read(port.pin, [this, i] { return ports_[i].level; });
        core.on_write(port.pin, [this, i](std::uint8_t value) {
            core_.data(ports_[i].output) ^= core_.ones_written(value);
            update(i);
        });
        for (const std::uint16_t address : {port.direction, port.output})
            core.on_write(address, [this, i, address](std::uint8_t value) {
                core_.data(address) = value;
                update(i);
            });
    }
    core.on_write(reg::PCIFR, [this](std::uint8_t value) {
        core_.data(reg::PCIFR) &= static_cast<std::uint8_t>(~core_.ones_written(value));
        refresh();
    });
    core.on_write(reg::PCICR, [this](std::uint8_t value) {
        core_.data(reg::PCICR) = value;
        refresh();
    });
    core.add(*this);
}

void Gpio::drive(board::Pin pin, bool high) {
    const std::size_t index = index_of(pin);
    Port& port = ports_[index];
    const auto mask = static_cast<std::uint8_t>(1U << pin.bit);
    port.driven |= mask;
    port.driven_level =
        static_cast<std::uint8_t>(high ? port.driven_level | mask : port.driven_level & ~mask);
    update(index);
}

void Gpio::on_change(board::Pin pin, std::function<void(bool)> changed) {
    ports_[index_of(pin)].changed[pin.bit].push_back(std::move(changed));
}

bool Gpio::level(board::Pin pin) const {
    return ((ports_[index_of(pin)].level >> pin.bit) & 1U) != 0;
}

std::uint8_t Gpio::level_of(const Port& port) const {
    const unsigned direction = core_.data(port.direction);
    const unsigned output = core_.data(port.output);
    // An input that nobody drives follows its pull-up.
    const unsigned input = (port.driven & port.driven_level) | (~port.driven & output);
    return static_cast<std::uint8_t>((direction & output) | (~direction & input));
}

void Gpio::update(std::size_t index) {
    Port& port = ports_[index];
    const std::uint8_t level = level_of(port);
    const auto changed = static_cast<std::uint8_t>(level ^ port.level);
    if (changed == 0) return;
    port.level = level;
    if ((changed & core_.data(port.mask)) != 0) {
        core_.set(flag(static_cast<std::uint8_t>(index)));
        refresh();
    }
    for (unsigned bit = 0; bit < 8; ++bit)
        if (((changed >> bit) & 1U) != 0)
            for (const auto& tell : port.changed[bit])
                tell(((level >> bit) & 1U) != 0);
}

void Gpio::reset() {
    for (std::size_t i = 0; i < ports_.size(); ++i)
        update(i);
    core_.data(reg::PCIFR) = 0;
}

void Gpio::refresh() {
    change_b_.refresh(core_.is_set(flag(0)));
    change_c_.refresh(core_.is_set(flag(1)));
    change_d_.refresh(core_.is_set(flag(2)));
}

} // namespace quaycell::bench
