// An entry of the anodes' log as the archive keeps it: words and numbers, whose meaning is
// judging/anode_log.h's.
#pragma once

#include "base/time.h"

#include <cstdint>
#include <string>

namespace quaycell {

/// Never changed: a strike is an entry, too.
struct AnodeEntryRow {
    std::int64_t number = 0; ///< given by the archive, from 1 on
    Instant at;
    std::string kind; ///< "fitted"
    std::string boat; ///< may be empty
    std::string place;
    std::string alloy;      ///< of one fitted
    double mass_kg = 0;     ///< 0: none goes with it; kept to the milligram
    std::int64_t about = 0; ///< the number of another entry, or 0
    std::string text;
    std::string author;
    Instant written_at;
};

} // namespace quaycell
