// The potential that stays at the junction of a cell's salt bridge with the water.
#pragma once

#include "electrode/scale.h"

namespace quaycell {

/// Whether the cell of this scale meets the water through a salt bridge.
bool has_salt_bridge(Scale scale);

/// Henderson potential left at a saturated potassium chloride bridge in water of this salinity,
/// [mV]: computed for 0.1 to 35 PSU, beyond them that of the end. The sign is dropped, because the
/// bridges of the other cells differ from it.
double junction_residual_mv(double salinity_psu);

} // namespace quaycell
