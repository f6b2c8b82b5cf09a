#include "bench/mcu/core.h"

#include "bench/mcu/cycle_timer.h"
#include "bench/mcu/malloced.h"
#include "bench/random.h"
#include "board/circuit.h"
#include "board/fuses.h"

#include <avr_timer.h>
#include <fmt/format.h>
#include <sim_avr.h>
#include <sim_interrupts.h>
#include <sim_io.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <new>
#include <utility>

// Exported by the library, but its header is not installed: one instruction, or a run of them.
extern "C" avr_flashaddr_t avr_run_one(avr_t* avr);

#ifdef __SANITIZE_ADDRESS__
// The library keeps some 5 KB for each simulator that has ended; nothing outside it can free them.
extern "C" const char* __lsan_default_suppressions() {
    return "leak:libsimavr";
}
#endif

namespace quaycell::bench {

namespace {

constexpr std::uint64_t hz = board::cpu_hz;
constexpr std::uint64_t ns_per_s = 1'000'000'000;

constexpr std::uint64_t crystal_start_cycles = board::start_up_cycles(board::low_fuse);
// From the data sheet: saving the program counter and going to the vector.
constexpr std::uint64_t interrupt_entry_cycles = 4;
// Standby keeps the crystal running.
constexpr std::uint64_t standby_start_cycles = 6;

// BODS must follow BODSE within so many cycles, and SLEEP must follow BODS within as many more.
constexpr std::uint64_t brown_out_window_cycles = 4, brown_out_off_cycles = 3;

// Between looks at the peripherals' interrupts, where no timer asks for one earlier; longer gains
// nothing.
constexpr std::uint64_t longest_run_cycles = 1U << 16;

bool clocks_peripherals(SleepMode mode) {
    return mode == SleepMode::idle;
}

std::uint64_t start_cycles(SleepMode mode) {
    switch (mode) {
    case SleepMode::power_down:
    case SleepMode::power_save:
        return crystal_start_cycles;
    case SleepMode::standby:
    case SleepMode::extended_standby:
        return standby_start_cycles;
    case SleepMode::idle:
    case SleepMode::adc_noise_reduction:
        break;
    }
    return 0;
}

std::uint8_t call_read(avr_t*, avr_io_addr_t, void* read) {
    return (*static_cast<Core::Read*>(read))();
}

void call_write(avr_t*, avr_io_addr_t, std::uint8_t value, void* write) {
    (*static_cast<Core::Write*>(write))(value);
}

} // namespace

struct Core::HeldTimer {
    avr_cycle_timer_t timer;
    void* param;
    std::uint64_t left;
};

Core::Core(const Firmware& firmware, Findings& findings) : findings_(findings) {
    owned_.reset(avr_make_mcu_by_name("atmega328p"));
    avr_ = owned_.get();
    if (avr_ == nullptr) throw std::runtime_error("libsimavr does not know the ATmega328P");
    avr_init(avr_);
    widen_data_space();
    data_ = avr_->data;
    if (firmware.flash.size() > avr_->flashend + 1)
        throw WrongInput(fmt::format("the firmware has {} bytes, the ATmega328P has room for {}. "
                                     "Build it for this microcontroller",
                                     firmware.flash.size(), avr_->flashend + 1));
    std::ranges::copy(firmware.flash, avr_->flash);
    avr_->codeend = avr_->flashend;
    avr_->frequency = board::cpu_hz;

    silence_stock_peripherals();
    swap_access_signals();
    on_write(reg::CLKPR, [this](std::uint8_t value) {
        data(reg::CLKPR) = value;
        finding("CLKPR written: the bench does not follow a change of the clock");
    });
    on_write(reg::EIMSK, [this](std::uint8_t value) {
        data(reg::EIMSK) = value;
        if (value != 0) finding("INT0 or INT1 enabled: no edge of theirs wakes from power-down");
    });
    on_write(reg::MCUCR, [this](std::uint8_t value) { switch_brown_out(value); });
    on_write(reg::PRR, [this](std::uint8_t value) {
        data(reg::PRR) = value;
        switch_parts(value);
    });
    // The flags of the reset causes can only be cleared.
    on_write(reg::MCUSR, [this](std::uint8_t value) { data(reg::MCUSR) &= value; });
}

Core::~Core() = default;

void Core::EndSimulator::operator()(avr_t* avr) const {
    const Malloced<avr_t> memory{avr};
    avr_terminate(avr);
}

// The simulator notices a write beyond the end of SRAM, and carries it out all the same: into
// whatever lies behind in this program's memory, unless there is room for every 16-bit address.
void Core::widen_data_space() {
    constexpr std::size_t every_address = 1U << 16;
    void* const wider = std::realloc(avr_->data, every_address);
    if (wider == nullptr) throw std::bad_alloc{};
    avr_->data = static_cast<std::uint8_t*>(wider);
}

// Of the simulator's own register handlers only the counters' and the flash's stay.
void Core::silence_stock_peripherals() {
    struct Range {
        std::uint16_t first, last;
    };
    // TIFRx, GTCCR and counter 0, SPMCSR, TIMSKx, counter 1, counter 2
    constexpr std::array<Range, 6> kept{
        {{0x35, 0x37}, {0x43, 0x48}, {0x57, 0x57}, {0x6E, 0x70}, {0x80, 0x8B}, {0xB0, 0xB6}}};
    for (std::uint16_t address = AVR_IO_TO_DATA(0); address <= avr_->ioend; ++address) {
        const auto holds = [&](Range range) {
            return address >= range.first && address <= range.last;
        };
        if (std::ranges::any_of(kept, holds)) continue;
        avr_->io[AVR_DATA_TO_IO(address)].r = {};
        avr_->io[AVR_DATA_TO_IO(address)].w = {};
    }
}

// Signals that tell every access to a register, bit by bit; some stock peripherals make them at
// each reset and nobody listens. Kept away from the running core they do not slow its polling
// loops.
void Core::swap_access_signals() {
    for (std::size_t i = 0; i < access_signals_.size(); ++i)
        std::swap(access_signals_[i], avr_->io[i].irq);
}

void Core::on_read(std::uint16_t address, Read read) {
    auto& slot = avr_->io[AVR_DATA_TO_IO(address)].r;
    slot.param = &reads_.emplace_back(std::move(read));
    slot.c = call_read;
}

void Core::on_write(std::uint16_t address, Write write) {
    auto& slot = avr_->io[AVR_DATA_TO_IO(address)].w;
    slot.param = &writes_.emplace_back(std::move(write));
    slot.c = call_write;
}

void Core::set(Bit bit, bool on) const {
    std::uint8_t& byte = data(bit.address);
    byte = static_cast<std::uint8_t>(on ? byte | bit.mask() : byte & ~bit.mask());
}

std::uint8_t Core::ones_written(std::uint8_t value) const {
    const unsigned opcode = avr_->flash[avr_->pc] | (avr_->flash[avr_->pc + 1] << 8);
    const bool is_sbi = (opcode & 0xFF00U) == 0x9A00U;
    return is_sbi ? static_cast<std::uint8_t>(1U << (opcode & 7U)) : value;
}

std::uint64_t Core::cycle() const {
    return avr_->cycle;
}

Time Core::time_of(std::uint64_t cycles) {
    return Time{static_cast<std::int64_t>(cycles / hz * ns_per_s + cycles % hz * ns_per_s / hz)};
}

std::uint64_t Core::cycle_at(Time when) {
    const auto ns = static_cast<std::uint64_t>(when.count());
    return ns / ns_per_s * hz + (ns % ns_per_s * hz + ns_per_s - 1) / ns_per_s;
}

CycleCount Core::cycles() const {
    CycleCount count = cycles_;
    if (run_began_) count.active += avr_->cycle - *run_began_;
    const std::uint64_t since = clocked() - parts_since_;
    for (unsigned part = 0; part < count.part_clocked.size(); ++part)
        if (((parts_off_ >> part) & 1U) == 0) count.part_clocked[part] += since;
    return count;
}

// While the peripherals have their clock.
std::uint64_t Core::clocked() const {
    return cycles_.active + (run_began_ ? avr_->cycle - *run_began_ : 0) +
           cycles_.asleep[static_cast<std::size_t>(SleepMode::idle)];
}

void Core::switch_parts(std::uint8_t off) {
    cycles_.part_clocked = cycles().part_clocked;
    parts_off_ = off;
    parts_since_ = clocked();
}

// BODS and BODSE together open a window in which BODS alone counts; the sleep must follow at once.
void Core::switch_brown_out(std::uint8_t value) {
    const bool off = (value & bits::BODS.mask()) != 0;
    const bool opening = off && (value & bits::BODSE.mask()) != 0;
    if (opening)
        brown_out_window_ = avr_->cycle + brown_out_window_cycles;
    else if (off && avr_->cycle <= brown_out_window_)
        brown_out_off_until_ = avr_->cycle + 1 + brown_out_off_cycles;
    // It clears itself again; nobody reads it meanwhile.
    data(reg::MCUCR) = static_cast<std::uint8_t>(value & ~bits::BODS.mask() & ~bits::BODSE.mask());
}

void Core::need_power(Bit gate, const char* part) const {
    if (is_set(gate)) finding(fmt::format("{} used while PRR has switched it off", part));
}

void Core::reset(Bit cause) {
    const std::uint8_t causes = static_cast<std::uint8_t>(data(reg::MCUSR) | cause.mask());
    held_.clear();
    asleep_ = false;
    peripherals_clocked_ = true;
    switch_parts(0);
    swap_access_signals();
    avr_reset(avr_);
    swap_access_signals();
    avr_->run_cycle_limit = longest_run_cycles;
    avr_->state = cpu_Running;
    data(reg::MCUSR) = causes;
    for (Peripheral* peripheral : peripherals_)
        peripheral->reset();
}

void Core::power_cycle(std::uint64_t seed) {
    for (std::uint16_t i = 0; i <= avr_->ramend; ++i)
        avr_->data[i] = static_cast<std::uint8_t>(random_bits(seed, i));
    data(reg::MCUSR) = 0;
    reset(bits::PORF);
}

void Core::run_until(Time until) {
    const std::uint64_t target = cycle_at(until);
    while (avr_->cycle < target)
        step(target);
}

void Core::process_timers() {
    avr_cycle_timer_process(avr_);
    ask_peripherals();
}

void Core::step(std::uint64_t target) {
    if (held_in_reset_) {
        pass(target, held_cycles_);
        return;
    }
    wake_if_called();
    const std::uint64_t before = avr_->cycle;
    if (avr_->state == cpu_Running) {
        avr_->run_cycle_count = std::min<std::uint64_t>(avr_->run_cycle_count, target - before);
        run_began_ = before;
        const avr_flashaddr_t next = avr_run_one(avr_);
        run_began_.reset();
        cycles_.active += avr_->cycle - before;
        if (avr_->state == cpu_Crashed || avr_->state == cpu_Done)
            crash("invalid instruction or address");
        avr_cycle_timer_process(avr_);
        avr_->pc = next;
        ask_peripherals();
    }
    if (!reset_cause_ && avr_->state == cpu_Sleeping) {
        if (!asleep_) fall_asleep();
        const std::uint64_t slept_from = avr_->cycle;
        pass(target, cycles_.asleep[(data(reg::SMCR) >> 1) & 7U]);
        if (brown_out_off_) cycles_.without_brown_out += avr_->cycle - slept_from;
    }
    if (reset_cause_) {
        reset(*std::exchange(reset_cause_, std::nullopt));
        return;
    }
    wake_if_called();
    if (avr_->interrupt_state != 0) serve_interrupts();
}

// The way into a handler takes cycles that the simulator does not count.
void Core::serve_interrupts() {
    const bool enabled = avr_->sreg[S_I] != 0;
    avr_service_interrupts(avr_);
    if (!enabled || avr_->sreg[S_I] != 0) return;
    avr_->cycle += interrupt_entry_cycles;
    cycles_.active += interrupt_entry_cycles;
}

void Core::fall_asleep() {
    if (!is_set(bits::SE)) finding("SLEEP without SE: the microcontroller would not sleep");
    if (avr_->sreg[S_I] == 0) crash("SLEEP with interrupts disabled, it would never wake");
    asleep_ = true;
    const auto mode = static_cast<SleepMode>((data(reg::SMCR) >> 1) & 7U);
    for (Peripheral* peripheral : peripherals_)
        peripheral->sleeping(mode);
    peripherals_clocked_ = clocks_peripherals(mode);
    brown_out_off_ = !peripherals_clocked_ && avr_->cycle <= brown_out_off_until_;
    if (!peripherals_clocked_) hold_foreign_timers();
}

void Core::wake_if_called() {
    if (!asleep_ || avr_->state != cpu_Running) return;
    asleep_ = false;
    const auto mode = static_cast<SleepMode>((data(reg::SMCR) >> 1) & 7U);
    const std::uint64_t start_end = avr_->cycle + start_cycles(mode);
    if (start_cycles(mode) == crystal_start_cycles) ++cycles_.starts;
    while (avr_->cycle < start_end)
        pass(start_end, cycles_.starting);
    if (!peripherals_clocked_) release_foreign_timers();
    peripherals_clocked_ = true;
}

// Time passes without instructions, to the next timer or to `until`.
void Core::pass(std::uint64_t until, std::uint64_t& account) {
    const avr_cycle_timer_slot_t* const next = avr_->cycle_timers.timer;
    const std::uint64_t due = next == nullptr ? until : std::min<std::uint64_t>(next->when, until);
    if (due > avr_->cycle) {
        account += due - avr_->cycle;
        avr_->cycle = due;
    }
    process_timers();
}

// The simulator's own timers belong to the counters, which stand still without their clock; ours
// belong to the world, the watchdog and parts that have just been told of the sleep.
void Core::hold_foreign_timers() {
    held_since_ = avr_->cycle;
    for (auto* slot = avr_->cycle_timers.timer; slot != nullptr; slot = slot->next)
        if (!CycleTimer::is_ours(slot->timer))
            held_.push_back({slot->timer, slot->param,
                             slot->when - std::min<std::uint64_t>(slot->when, avr_->cycle)});
    for (const HeldTimer& held : held_)
        avr_cycle_timer_cancel(avr_, held.timer, held.param);
}

void Core::release_foreign_timers() {
    for (const HeldTimer& held : held_)
        avr_cycle_timer_register(avr_, held.left, held.timer, held.param);
    held_.clear();
    for (avr_io_t* part = avr_->io_port; part != nullptr; part = part->next)
        if (std::strcmp(part->kind, "timer") == 0)
            reinterpret_cast<avr_timer_t*>(part)->tov_base += avr_->cycle - held_since_;
}

void Core::crash(const std::string& why) const {
    throw FirmwareCrashed(
        fmt::format("the firmware crashed at {:.6f} s, program counter 0x{:04x}: {}",
                    std::chrono::duration<double>(now()).count(), avr_->pc, why));
}

} // namespace quaycell::bench
