// What a person says was wrong about a trace, applied to it. The readings themselves stay where
// they are kept; a correction is laid over them each time they are read.
#pragma once

#include "series/trace.h"

#include <span>
#include <variant>

namespace quaycell {

/// The clock was wrong: times move by this much, forward where it is positive.
struct MovedTimes {
    Milliseconds by{0};
};

/// The cell is on another scale than was noted. Of a whole trace only: a trace has one scale.
struct CellOn {
    Scale scale = Scale::agcl_open;
};

/// The water was this, whatever was measured or noted.
struct WaterOf {
    double salinity_psu = 0;
};
struct WaterAt {
    double temperature_c = 0;
};

/// The lead of the hull was where that of cell A belongs, and the other way round. What was then
/// measured at cell B is B against A, from which the hull against B follows.
struct SwappedLeads {};

/// These readings are not of the hull in its water: the cell was lifted, the hull hauled out.
struct LeftOut {};

using Change = std::variant<MovedTimes, CellOn, WaterOf, WaterAt, SwappedLeads, LeftOut>;

/// Readings by Trace::sequence, both ends included; an end that is not named is that of the trace.
struct Stretch {
    std::optional<std::uint32_t> first;
    std::optional<std::uint32_t> last;
};

struct Correction {
    Change change;
    Stretch stretch;
    std::string why;
    std::string author;
};

/// How a change is kept: its kind in one word and its value as text, empty where it has none.
std::string_view kind_of(const Change& change);
std::string value_of(const Change& change);

/// Error: wrong_input for what value_of() does not write.
Result<Change> parse_change(std::string_view kind, std::string_view value);

/// Whether a change can be meant at all. Error: wrong_usage.
Result<Done> check_change(const Change& change);

/// The trace as corrected. Of each kind at most one correction may touch a reading. What was
/// changed is marked Quality::corrected; what was left out becomes a gap event that says why. Needs
/// Trace::sequence. Error: wrong_input when times would no longer rise.
Result<Trace> corrected(Trace trace, std::span<const Correction> corrections);

} // namespace quaycell
