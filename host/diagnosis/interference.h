// By how much a direct current from outside may move a potential.
#pragma once

#include "electrode/water.h"

#include <limits>
#include <span>
#include <string_view>

namespace quaycell {

/// Shift toward less negative that counts as interference, for steel that nothing protects:
/// constant_mv + mv_per_ohm_m * resistivity, below a resistivity.
struct InterferenceLimit {
    double below_ohm_m;
    double constant_mv;
    double mv_per_ohm_m;
};

/// In order of resistivity; the first that reaches far enough holds.
std::span<const InterferenceLimit> interference_limits();

inline constexpr std::string_view interference_source = "EN 50162:2004 table 1";
inline constexpr std::string_view interference_status =
    "transcribed; for steel that nothing protects";

/// [mV]; of water or soil of that resistivity, positive, [ohm m].
double interference_limit_mv(double resistivity_ohm_m);

/// The strictest within the water's salinity. Where the resistivity of so thin a water is not
/// known, that of sea water, the strictest of all.
double interference_limit_mv(const Water& water);

} // namespace quaycell
