// The key to the numbers on a chart: number, time, words.
#pragma once

#include "base/zone.h"
#include "chart/numbered.h"

namespace quaycell {

/// Events, then spells, in as many columns as have room in `width_mm`, from `top_left` down. Of
/// very many the first are told, and how many are not.
Group draw_happenings_key(Point top_left, double width_mm, const JudgedTrace& judged,
                          const Zone& zone, const TextWidth& text_width);

/// 0 where nothing has a number.
double happenings_key_height_mm(const JudgedTrace& judged, double width_mm);

} // namespace quaycell
