#include "bench/mcu/spi.h"

namespace quaycell::bench {

Spi::Spi(Core& core, std::function<std::uint8_t(std::uint8_t)> exchange)
    : core_(core), exchange_(std::move(exchange)),
      interrupt_(core, vector::spi, bits::SPIE, bits::SPIF), timer_(core, [this] { done(); }) {
    core.on_write(reg::SPDR, [this](std::uint8_t value) { send(value); });
    core.on_read(reg::SPDR, [this] {
        flag_read_then_data();
        return received_;
    });
    core.on_read(reg::SPSR, [this] {
        flag_seen_ = core_.is_set(bits::SPIF);
        return core_.data(reg::SPSR);
    });
    core.on_write(reg::SPSR, [this](std::uint8_t value) {
        core_.set(bits::SPI2X, (value & bits::SPI2X.mask()) != 0);
    });
    core.add(*this);
}

void Spi::reset() {
    timer_.stop();
    flag_seen_ = false;
}

void Spi::refresh() {
    interrupt_.refresh(core_.is_set(bits::SPIF));
}

void Spi::sleeping(SleepMode mode) {
    if (mode != SleepMode::idle && busy()) core_.finding("asleep while SPI is shifting");
}

void Spi::flag_read_then_data() {
    if (!flag_seen_) return;
    flag_seen_ = false;
    core_.set(bits::SPIF, false);
    core_.set(bits::WCOL, false);
    refresh();
}

void Spi::send(std::uint8_t byte) {
    core_.need_power(bits::PRSPI, "SPI");
    flag_read_then_data();
    if (!core_.is_set(bits::SPE) || !core_.is_set(bits::MSTR)) {
        core_.finding("SPDR written while SPI is not an enabled master");
        return;
    }
    if (busy()) {
        core_.set(bits::WCOL);
        core_.finding("SPDR written while SPI is shifting: the byte is lost");
        return;
    }
    sending_ = byte;
    // SPR1:0 select 4, 16, 64, 128; SPI2X halves it.
    constexpr std::array<unsigned, 4> dividers{4, 16, 64, 128};
    unsigned divider = dividers[core_.data(reg::SPCR) & 3U];
    if (core_.is_set(bits::SPI2X)) divider /= 2;
    if (!seized_) timer_.start(8ULL * divider);
}

void Spi::done() {
    received_ = exchange_(sending_);
    core_.set(bits::SPIF);
    refresh();
}

} // namespace quaycell::bench
