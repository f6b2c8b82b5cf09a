// When a reading at a point has settled.
#pragma once

#include <cstddef>
#include <span>
#include <string>

namespace quaycell {

/// So many readings one after another, about a second apart, that lie no farther apart than that.
/// Our judgement: the 1 to 2 mV that a soaked cell may drift (practice, from memory), over the time
/// for which a clip is held on a fitting.
inline constexpr std::size_t settled_readings = 10;
inline constexpr double settled_within_mv = 2;

/// "10 readings one after another within 2 mV"
std::string settled_criterion();

/// What a point's reading is.
struct PointValue {
    double potential_mv; ///< the median
    double spread_mv;    ///< between the highest and the lowest
};

/// At least one value.
PointValue value_of(std::span<const double> potentials_mv);

/// Of so many readings one after another.
bool is_settled(const PointValue& value, std::size_t readings);

} // namespace quaycell
