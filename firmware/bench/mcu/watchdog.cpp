#include "bench/mcu/watchdog.h"

#include "board/circuit.h"

#include <avr_watchdog.h>

#include <type_traits>

namespace quaycell::bench {

namespace {

constexpr std::uint64_t oscillator_hz = 128000;
constexpr std::uint64_t shortest_clocks = 2048;
constexpr unsigned longest_prescaler = 9;
// A change of WDE or the prescaler must follow WDCE within this many cycles.
constexpr std::uint64_t window_cycles = 4;
constexpr std::uint8_t prescaler_mask = 0x27;

} // namespace

Watchdog::Watchdog(Core& core)
    : core_(core), interrupt_(core, vector::watchdog, bits::WDIE, bits::WDIF),
      timer_(core, [this] { expired(); }), window_(core, [this] { core_.set(bits::WDCE, false); }) {
    static_assert(std::is_standard_layout_v<Hook>,
                  "the simulator sees the hook as its first member");
    hook_.watchdog = this;
    hook_.io.kind = "quaycell watchdog";
    hook_.io.ioctl = instruction;
    avr_register_io(core.simulator(), &hook_.io);
    core.on_write(reg::WDTCSR, [this](std::uint8_t value) { control(value); });
    core.add(*this);
}

Watchdog::~Watchdog() {
    core_.simulator()->io_port = hook_.io.next;
}

int Watchdog::instruction(avr_io_t* io, std::uint32_t request, void*) {
    if (request != AVR_IOCTL_WATCHDOG_RESET) return -1;
    reinterpret_cast<Hook*>(io)->watchdog->restart();
    return 0;
}

void Watchdog::reset() {
    timer_.stop();
    window_.stop();
    warning_ = false;
    // After a watchdog reset it stays on, at its shortest, until the firmware has cleared WDRF.
    if (core_.is_set(bits::WDRF)) core_.set(bits::WDE);
    restart();
}

void Watchdog::refresh() {
    notice_served();
    interrupt_.refresh(core_.is_set(bits::WDIF));
}

// With WDE the interrupt is the last warning: serving it leaves only the reset.
void Watchdog::notice_served() {
    if (!warning_ || core_.is_set(bits::WDIF)) return;
    warning_ = false;
    if (core_.is_set(bits::WDE)) core_.set(bits::WDIE, false);
}

void Watchdog::control(std::uint8_t value) {
    notice_served();
    const std::uint8_t before = core_.data(reg::WDTCSR);
    const bool open = (before & bits::WDCE.mask()) != 0;
    const auto written_one = [&](Bit bit) { return (value & bit.mask()) != 0; };

    // Outside the window WDE can be set but not cleared, and the prescaler does not move.
    std::uint8_t now = open ? value & (prescaler_mask | bits::WDE.mask())
                            : static_cast<std::uint8_t>((before & prescaler_mask) |
                                                        ((before | value) & bits::WDE.mask()));
    if (core_.is_set(bits::WDRF)) now |= bits::WDE.mask();
    now |= static_cast<std::uint8_t>(value & bits::WDIE.mask());
    if (!written_one(bits::WDIF)) now |= static_cast<std::uint8_t>(before & bits::WDIF.mask());
    core_.data(reg::WDTCSR) = now;
    warning_ = warning_ && core_.is_set(bits::WDIF);

    if (written_one(bits::WDCE) && written_one(bits::WDE)) {
        core_.set(bits::WDCE);
        window_.start(window_cycles + 2); // the setting instruction's own cycles count here
    }
    const std::uint8_t running = bits::WDE.mask() | bits::WDIE.mask();
    if (((before ^ now) & (prescaler_mask | running)) != 0) restart();
    refresh();
}

void Watchdog::restart() {
    const std::uint8_t control = core_.data(reg::WDTCSR);
    timer_.stop();
    const bool runs = (control & (bits::WDE.mask() | bits::WDIE.mask())) != 0;
    running_.set(runs, core_.now());
    if (!runs) return;
    const unsigned prescaler =
        std::min<unsigned>((control & 7U) | ((control & 0x20U) >> 2), longest_prescaler);
    timer_.start((shortest_clocks << prescaler) * board::cpu_hz / oscillator_hz);
}

void Watchdog::expired() {
    if (!core_.is_set(bits::WDIE)) {
        core_.reset_soon(bits::WDRF);
        return;
    }
    core_.set(bits::WDIF);
    warning_ = true;
    restart();
}

} // namespace quaycell::bench
