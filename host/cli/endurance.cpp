#include "cli/endurance.h"

#include "cli/logger_port.h"

#include <algorithm>
#include <array>

namespace quaycell {

namespace {

/// Computed by tests/perf/energy from data sheets (some of it from memory), not measured: three AA
/// alkaline cells of 2000 mAh to 1.1 V each, at the largest currents and with 0.7 of the charge for
/// the cold. They count the AC burst and the stimulus, which make up a part of it.
struct Endurance {
    std::uint16_t from_interval_s;
    std::int64_t days;
};
constexpr std::array<Endurance, 3> endurance{{{1, 221}, {10, 336}, {60, 503}}};

// Three alkaline cells: 1.5 V each when fresh, and the regulator gives up at 3.4 V. That the
// voltage falls evenly between is our judgement; the true curve is flatter in the middle.
constexpr double fresh_mv = 4500;
constexpr double spent_mv = 3400;

} // namespace

std::chrono::seconds empty_memory_lasts(std::uint16_t sector_count, std::uint16_t interval_s) {
    if (sector_count == 0) return {};
    constexpr std::uint32_t opening_and_end = 3; // Arm, Check, Stop
    wire::StatusReply empty{};
    empty.free_slots = sector_count * std::uint32_t{wire::slots_per_sector - 1} - opening_and_end;
    empty.interval_s = interval_s;
    return memory_lasts(empty);
}

double battery_share(double battery_mv) {
    return std::clamp((battery_mv - spent_mv) / (fresh_mv - spent_mv), 0.0, 1.0);
}

std::chrono::seconds battery_lasts(double battery_mv, std::uint16_t interval_s) {
    std::chrono::days full{};
    for (const Endurance& row : endurance)
        if (interval_s >= row.from_interval_s) full = std::chrono::days{row.days};
    const double seconds =
        static_cast<double>(std::chrono::seconds{full}.count()) * battery_share(battery_mv);
    return std::chrono::seconds{static_cast<std::int64_t>(seconds)};
}

} // namespace quaycell
