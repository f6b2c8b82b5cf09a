// Whether the cell and its leads give a believable reading now.
#pragma once

#include "base/result.h"
#include "link/logger.h"
#include "series/lead.h"

namespace quaycell {

struct LeadCheck {
    double potential_mv; ///< of the hull against cell A
    LeadState state;     ///< good or drying
    double source_ohm;
    std::string words; ///< what is the matter; empty when good
};

/// Watches live readings, which the logger begins with a look at the leads, until one has settled.
/// Error: refused, when the converter is silent, beyond its range or does not settle, when the
/// lead is open, the cell dry or the hull's clip off, or when the potential is one that a lead at
/// fault gives.
Result<LeadCheck> check_lead(Logger& logger);

} // namespace quaycell
