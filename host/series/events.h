// What happened in a trace: from levels, AC pickup and stretches that show no hull.
#pragma once

#include "series/coverage.h"
#include "series/cycles.h"
#include "series/readings.h"
#include "series/settling.h"
#include "series/stretches.h"

#include <optional>
#include <span>
#include <vector>

namespace quaycell {

enum class ShorePower : std::uint8_t { unknown, unplugged, plugged };

/// A level by the medians of short blocks of readings, one after another.
struct LevelBlocks {
    std::vector<Instant> time; ///< of the first reading
    std::vector<double> mv;
    std::vector<Milliseconds> stands_for;
    std::vector<std::size_t> level; ///< rises at each step that nobody knows the reason of
};

struct Happenings {
    std::vector<Event> events; ///< in order of time, without those that the trace brings itself
    /// False where the reading is not of the hull in its water: open lead, dry cell, swapped leads.
    std::vector<bool> shows_hull;
    Cycles cycles;
    std::vector<Settling> settling; ///< the decays that show
    Stretches<ShorePower> shore_power;
    /// The potential without cycles and settling; missing where the reading shows no hull, where a
    /// load ran, in the day after a refit and while shore power was the less usual way, [mV].
    Column<double> undisturbed_mv;
    /// The same in short: its level rises at each step that is neither of shore power nor of a
    /// load, at a refit and where another deployment begins.
    LevelBlocks undisturbed_blocks;
};

/// `standard_mv` (on agcl/seawater) has one value per reading; missing values are passed over.
/// Steps of 3 mV and 4 times the noise of a reading are told; what falls into a silence is not,
/// because nobody knows when it was.
/// `refits` are marked as settling, as is a decay that shows at the beginning without one.
Happenings happenings_of(const Readings& trace, const Column<double>& standard_mv,
                         const Coverage& coverage, std::span<const Refit> refits = {});

} // namespace quaycell
