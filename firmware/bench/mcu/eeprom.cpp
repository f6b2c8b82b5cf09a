#include "bench/mcu/eeprom.h"

#include "bench/random.h"
#include "board/circuit.h"

namespace quaycell::bench {

namespace {

using namespace std::chrono_literals;

// Erase and write in one, and each by itself; from the microcontroller's data sheet (from memory).
constexpr Time both_time = 3400us;
constexpr Time half_time = 1800us;
// EEPE must follow EEMPE within this many cycles.
constexpr std::uint64_t window_cycles = 4;

} // namespace

Eeprom::Eeprom(Core& core)
    : core_(core), interrupt_(core, vector::eeprom, bits::EERIE),
      write_(core, [this] { written(); }),
      window_(core, [this] { core_.set(bits::EEMPE, false); }) {
    bytes_.fill(0xFF);
    core.on_write(reg::EECR, [this](std::uint8_t value) { control(value); });
    core.add(*this);
}

void Eeprom::reset() {
    write_.stop();
    window_.stop();
}

void Eeprom::refresh() {
    interrupt_.refresh(!core_.is_set(bits::EEPE));
}

void Eeprom::sleeping(SleepMode mode) {
    if (mode != SleepMode::idle && write_.running())
        core_.finding("asleep while EEPROM is being written: the oscillator keeps running");
}

std::size_t Eeprom::address() const {
    return (core_.data(reg::EEARL) | (core_.data(reg::EEARH) << 8)) % size;
}

void Eeprom::control(std::uint8_t value) {
    const std::uint8_t before = core_.data(reg::EECR);
    const auto written_one = [&](Bit bit) { return (value & bit.mask()) != 0; };
    constexpr std::uint8_t plain = 0x30 | bits::EERIE.mask(); // mode and interrupt enable
    core_.data(reg::EECR) = static_cast<std::uint8_t>((value & plain) | (before & ~plain & 0x0FU));

    const bool open = (before & bits::EEMPE.mask()) != 0;
    if (written_one(bits::EEMPE) && !open) {
        core_.set(bits::EEMPE);
        window_.start(window_cycles + 2); // the setting instruction's own cycles count here
    }
    if (written_one(bits::EEPE) && open && !write_.running()) {
        const unsigned mode = (value >> 4) & 3U;
        writing_at_ = address();
        const std::uint8_t old = bytes_[writing_at_];
        const std::uint8_t data = core_.data(reg::EEDR);
        result_ = mode == 0 ? data : mode == 1 ? std::uint8_t{0xFF} : std::uint8_t(old & data);
        core_.set(bits::EEPE);
        if (!seized_) write_.start(Core::cycle_at(mode == 0 ? both_time : half_time));
    }
    if (written_one(bits::EERE)) {
        if (write_.running()) core_.finding("EEPROM read while it is being written");
        core_.data(reg::EEDR) = bytes_[address()];
    }
    refresh();
}

void Eeprom::written() {
    bytes_[writing_at_] = result_;
    core_.set(bits::EEPE, false);
    refresh();
}

void Eeprom::cut(std::uint64_t seed) {
    if (write_.running())
        bytes_[writing_at_] = static_cast<std::uint8_t>(random_bits(seed, writing_at_));
    write_.stop();
}

} // namespace quaycell::bench
