// The key to the numbers on a chart: number, time, words.
#pragma once

#include "base/zone.h"
#include "chart/numbered.h"

namespace quaycell {

/// A line of it; without a number it says what is not listed.
struct KeyRow {
    std::string number;
    std::string text;
};

/// Events, then spells. Of very many the largest and the longest are told, and what is left out.
/// `event_numbers`: as the function of that name gives them.
std::vector<KeyRow> happenings_key(const JudgedTrace& judged,
                                   const std::vector<std::string>& event_numbers,
                                   double expanded_uncertainty_mv, const Zone& zone);

/// In as many columns as have room in `width_mm`, from `top_left` down.
Group draw_happenings_key(Point top_left, double width_mm, const std::vector<KeyRow>& rows,
                          const TextWidth& text_width);

double happenings_key_height_mm(const std::vector<KeyRow>& rows, double width_mm);

} // namespace quaycell
