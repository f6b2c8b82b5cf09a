// A reading put on agcl/seawater, the scale of marine criteria.
#pragma once

#include "base/result.h"
#include "electrode/scale.h"
#include "protection/by_constants.h"

#include <optional>
#include <string>

namespace quaycell {

/// What is added to a potential on `scale` to put it on agcl/seawater, [mV].
/// A bare element gets the chloride correction, at the same temperature, as the standards use their
/// limits at any temperature: the same by both kinds of constants. Other cells are converted with
/// each kind.
struct StandardOffset {
    ByConstants offset_mv;
    std::optional<std::string> note; ///< how it was converted, where the two differ
};
Result<StandardOffset> standard_offset(Scale scale, const Water& water);

/// The potential with that offset. Not a number is an error.
Result<ByConstants> standard_potential_mv(double potential_mv, Scale cell_scale,
                                          const Water& water);

} // namespace quaycell
