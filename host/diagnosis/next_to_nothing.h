// A reading next to nothing, which measures no metal as a rule.
#pragma once

#include "electrode/scale.h"

#include <optional>
#include <string>

namespace quaycell {

/// Cell and hull lead on the same metal, or touching, read their difference: next to nothing. A
/// bare element lies some 100 mV from every metal that a hull is made of. Our judgement.
inline constexpr double next_to_nothing_mv = 5;

/// What to suspect of a potential against the cell, in words; nothing where it is farther from 0,
/// and for a cell of zinc, against which anodes do read that.
std::optional<std::string> next_to_nothing(double potential_mv, Scale cell_scale);

} // namespace quaycell
