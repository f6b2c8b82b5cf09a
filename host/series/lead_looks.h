// What the looks at cell and leads mean for the readings between them.
#pragma once

#include "series/lead.h"

namespace quaycell {

/// The codes of one reading; missing_byte where it took no look.
struct LeadLook {
    std::uint8_t a;
    std::uint8_t b;
};

/// Fills source_ohm, marks the readings between a good look and one that is not (the input filter
/// holds an open lead's last value, so that they look as good as ever), and tells each change as
/// an event. Where cell B never answered there is none: nothing is said of it. One look per row.
void lay_looks_over(Trace& trace, const std::vector<LeadLook>& looks, const wire::Circuit& circuit);

} // namespace quaycell
