// What happened in a trace by number: the same numbers stand on the chart, in its key and in the
// report's tables.
#pragma once

#include "chart/scene.h"
#include "series/judged.h"

#include <span>

namespace quaycell {

/// Of each event "1", "2" ...; none of what happened before the first reading or after the last,
/// which no chart shows.
std::vector<std::string> event_numbers(const std::vector<Event>& events,
                                       const Column<Instant>& readings);

/// A time in which the hull was not protected, or not known to be.
struct NumberedSpell {
    std::string number; ///< "S1", "S2" ...
    Spell spell;
};
std::vector<NumberedSpell> numbered_spells(const JudgedTrace& judged);

/// Where one of them stands in a row of numbers.
struct Numbered {
    double x_mm;
    std::string number;
    std::string words; ///< beside the number, where that has room; may be empty
};

/// Numbers side by side on one line, in order from left to right. Those that would touch become one
/// label, "3–7", so that none is left out.
std::vector<Text> number_labels(std::span<const Numbered> marks, double baseline_mm, double left_mm,
                                double right_mm, const TextWidth& text_width);

} // namespace quaycell
