// What the uncertainty of a reading is made of, as bars.
#pragma once

#include "chart/scene.h"
#include "electrode/budget.h"

namespace quaycell {

/// A bar per contribution, the largest first, as long as its standard uncertainty, with its share
/// of the sum of squares; below them the sum and the expanded uncertainty. `width_mm`: 100 at
/// least.
Scene draw_budget(const Budget& budget, double width_mm, const TextWidth& text_width);

} // namespace quaycell
