// A date in a vessel file that has not come yet.
#pragma once

#include "vessel/vessel.h"

#include <optional>
#include <string>

namespace quaycell {

/// A day begins by some clocks half a day before it does in UTC: one day is allowed.
bool is_to_come(const WhenDone& when, Instant now);

/// The first launch or fitting that lies in the future: a slip of the pen, for what is judged and
/// reported has been. Error: wrong_input; `file` is its place.
std::optional<Error> date_to_come(const Vessel& vessel, Instant now, const std::string& file);

} // namespace quaycell
