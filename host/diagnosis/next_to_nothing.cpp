#include "diagnosis/next_to_nothing.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::optional<std::string> next_to_nothing(double potential_mv, Scale cell_scale) {
    if (cell_scale == Scale::zinc || !(std::abs(potential_mv) <= next_to_nothing_mv))
        return std::nullopt;
    return fmt::format(
        "{:.1f} mV is next to nothing: an open lead, a cell or a metal that is not in "
        "the water, and leads that touch each other show that; look at clip, leads "
        "and cell before you believe it",
        potential_mv);
}

} // namespace quaycell
