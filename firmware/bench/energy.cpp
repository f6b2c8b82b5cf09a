#include "bench/energy.h"

#include "board/circuit.h"
#include "board/pins.h"

#include <fmt/format.h>

namespace quaycell::bench {

namespace {

/// Adds `sign` times every count of `b`; unsigned counts wrap, which is how they subtract.
template <typename T>
void accumulate(T& a, const T& b, int sign) {
    a = sign > 0 ? a + b : a - b;
}

template <typename T, std::size_t Count>
void accumulate(std::array<T, Count>& a, const std::array<T, Count>& b, int sign) {
    for (std::size_t i = 0; i < Count; ++i)
        accumulate(a[i], b[i], sign);
}

void accumulate(CycleCount& a, const CycleCount& b, int sign) {
    accumulate(a.active, b.active, sign);
    accumulate(a.starting, b.starting, sign);
    accumulate(a.asleep, b.asleep, sign);
    accumulate(a.without_brown_out, b.without_brown_out, sign);
    accumulate(a.part_clocked, b.part_clocked, sign);
    accumulate(a.starts, b.starts, sign);
}

void accumulate(NorTime& a, const NorTime& b, int sign) {
    accumulate(a.programming, b.programming, sign);
    accumulate(a.erasing, b.erasing, sign);
    accumulate(a.selected, b.selected, sign);
    accumulate(a.standby, b.standby, sign);
    accumulate(a.deep_power_down, b.deep_power_down, sign);
}

EnergyUse accumulated(EnergyUse a, const EnergyUse& b, int sign) {
    accumulate(a.span, b.span, sign);
    accumulate(a.cycles, b.cycles, sign);
    accumulate(a.watchdog, b.watchdog, sign);
    accumulate(a.adc_on, b.adc_on, sign);
    accumulate(a.two_wire_bus, b.two_wire_bus, sign);
    accumulate(a.converter, b.converter, sign);
    accumulate(a.flash, b.flash, sign);
    accumulate(a.conversions, b.conversions, sign);
    accumulate(a.programs, b.programs, sign);
    accumulate(a.erases, b.erases, sign);
    accumulate(a.lamp_blinks, b.lamp_blinks, sign);
    accumulate(a.sensors, b.sensors, sign);
    accumulate(a.lamp, b.lamp, sign);
    accumulate(a.host, b.host, sign);
    return a;
}

double seconds(Time time) {
    return std::chrono::duration<double>(time).count();
}

double seconds(std::uint64_t cycles) {
    return static_cast<double>(cycles) / board::cpu_hz;
}

struct SleepName {
    SleepMode mode;
    const char* name;
};
constexpr std::array<SleepName, 6> sleep_names{
    {{SleepMode::idle, "idle"},
     {SleepMode::adc_noise_reduction, "adc-noise-reduction"},
     {SleepMode::power_save, "power-save"},
     {SleepMode::power_down, "power-down"},
     {SleepMode::standby, "standby"},
     {SleepMode::extended_standby, "extended-standby"}}};

/// PRR's bits.
struct PartName {
    unsigned bit;
    const char* name;
};
constexpr std::array<PartName, 7> part_names{{{7, "clock-of-two-wire"},
                                              {6, "clock-of-timer-2"},
                                              {5, "clock-of-timer-0"},
                                              {3, "clock-of-timer-1"},
                                              {2, "clock-of-spi"},
                                              {1, "clock-of-uart"},
                                              {0, "clock-of-adc"}}};

std::string listed(const char* name, std::uint64_t value) {
    return fmt::format("\"{}\":{},", name, value);
}

std::string listed(const char* name, double value) {
    return fmt::format("\"{}\":{:.6f},", name, value);
}

std::string object(std::string members) {
    members.back() = '}';
    return "{" + members;
}

} // namespace

EnergyUse operator+(const EnergyUse& a, const EnergyUse& b) {
    return accumulated(a, b, 1);
}

EnergyUse operator-(const EnergyUse& later, const EnergyUse& earlier) {
    return accumulated(later, earlier, -1);
}

std::string to_json(const EnergyUse& use) {
    const CycleCount& count = use.cycles;
    const auto asleep = [&](SleepMode mode) {
        return count.asleep[static_cast<std::size_t>(mode)];
    };
    std::string cycles = listed("active", count.active) + listed("starting", count.starting);
    std::string on = listed("always", seconds(use.span)) +
                     listed("mcu-active", seconds(count.active)) +
                     listed("mcu-starting", seconds(count.starting));
    for (const SleepName& sleep : sleep_names) {
        cycles += listed(sleep.name, asleep(sleep.mode));
        on += listed(fmt::format("mcu-{}", sleep.name).c_str(), seconds(asleep(sleep.mode)));
    }
    for (const PartName& part : part_names)
        on += listed(part.name, seconds(count.part_clocked[part.bit]));
    on += listed("watchdog", seconds(use.watchdog)) +
          listed("brown-out-detector", seconds(use.span) - seconds(count.without_brown_out)) +
          listed("adc", seconds(use.adc_on)) + listed("two-wire-bus", seconds(use.two_wire_bus)) +
          listed("converter", seconds(use.converter)) +
          listed("flash-programming", seconds(use.flash.programming)) +
          listed("flash-erasing", seconds(use.flash.erasing)) +
          listed("flash-selected", seconds(use.flash.selected)) +
          listed("flash-standby", seconds(use.flash.standby)) +
          listed("flash-deep-power-down", seconds(use.flash.deep_power_down)) +
          listed("sensors", seconds(use.sensors)) + listed("lamp", seconds(use.lamp)) +
          listed("host", seconds(use.host));
    const std::string counts = listed("starts", count.starts) +
                               listed("conversions", use.conversions) +
                               listed("programs", use.programs) + listed("erases", use.erases) +
                               listed("lamp-blinks", use.lamp_blinks);
    return fmt::format("{{\"cycles\":{},\"seconds\":{},\"counts\":{}}}", object(cycles), object(on),
                       object(counts));
}

EnergyMeter::EnergyMeter(const CountedParts& parts) : parts_(parts) {
    const auto follow = [&](board::Pin pin, OnTime& time) {
        parts_.gpio.on_change(pin, [this, &time](bool high) { time.set(high, parts_.core.now()); });
    };
    follow(board::sensor_supply, sensors_);
    follow(board::host_present, host_);
    follow(board::led, lamp_);
    parts_.gpio.on_change(board::led, [this](bool high) { lamp_blinks_ += high ? 1 : 0; });
    for (const board::Pin pin : {board::stimulus_a, board::stimulus_b})
        parts_.gpio.on_change(pin, [this](bool) { stimulus_.event(use()); });
    parts_.adc.on_start([this](std::uint8_t channel) {
        if (channel == board::adc_ac_a || channel == board::adc_ac_b) ac_sampled();
    });
}

void EnergyMeter::ac_sampled() {
    // The stimulus's answer comes by the same inputs.
    const EnergyUse now = use();
    if (!stimulus_.lasts(now.span)) ac_burst_.event(now);
}

EnergyUse EnergyMeter::use() const {
    const Time now = parts_.core.now();
    return {now,
            parts_.core.cycles(),
            parts_.watchdog.running(now),
            parts_.adc.enabled(now),
            Core::time_of(parts_.twi.busy_cycles()),
            parts_.converter.converting(now),
            parts_.flash.time(now),
            parts_.converter.conversions(),
            parts_.flash.programs(),
            parts_.flash.erases(),
            lamp_blinks_,
            sensors_.total(now),
            lamp_.total(now),
            host_.total(now)};
}

} // namespace quaycell::bench
