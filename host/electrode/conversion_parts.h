// What a conversion between scales is made of.
#pragma once

#include "electrode/scale.h"

#include <string>
#include <vector>

namespace quaycell {

struct ConversionPart {
    std::string name; ///< "scale", "temperature", "chloride"
    double added_mv;  ///< to the potential, [mV]
    std::string why;
};

/// The parts of convert_mv, in words; their sum is what it adds. A part that is zero by nature is
/// left out: the temperature of rounded constants, the chloride where no bare element is involved,
/// all of them from a scale to itself. Water out of range is an error that names the range.
Result<std::vector<ConversionPart>>
conversion_parts(Scale from, Scale to, const Water& water,
                 Constants constants = Constants::computed,
                 ChlorideActivity activity = ChlorideActivity::macinnes);

} // namespace quaycell
