// What the looks at cell and leads mean for the readings between them.
#pragma once

#include "series/lead.h"
#include "series/stretches.h"

#include <span>

namespace quaycell {

/// The codes of a reading that took a look; missing_byte where it looked at one cell only.
struct LeadLook {
    std::size_t row;
    std::uint8_t a;
    std::uint8_t b;
};

/// What a look at cell A found that was otherwise before.
struct LeadChange {
    std::size_t row;
    EventKind kind;
    std::string why;
};

struct LeadFindings {
    bool has_b = false; ///< cell B answered; where it never did, there is none
    /// The readings between a good look and one that is not: the input filter holds an open lead's
    /// last value, so that they look as good as ever. In order.
    std::vector<Rows> doubtful;
    std::vector<LeadChange> changes; ///< in order
};

/// In order of rows.
LeadFindings look_through(std::span<const LeadLook> looks, const wire::Circuit& circuit);

} // namespace quaycell
