// What may lie behind what a trace shows, with what speaks for it and against it.
#pragma once

#include "diagnosis/causes.h"
#include "series/judged.h"

#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// A likely cause of what happened, and the step that tells it from others.
struct TraceCause {
    std::string_view id;    ///< "shore-earth"
    std::string_view cause; ///< a sentence
    std::vector<std::string> speaks_for;
    std::vector<std::string> speaks_against;
    std::string_view test;    ///< what tells it from others; empty where nothing has to be told
    std::string_view caution; ///< of that step; empty where there is none
    std::string_view source;
    std::string_view status; ///< in words, as in Cause
};

/// What speaks for each outweighs what speaks against it; the weightiest first. Empty where nothing
/// happened. `element_in_water` says that the cell is a bare element, whose own potential goes with
/// the chloride.
std::vector<TraceCause> trace_causes(const JudgedTrace& judged, const BoatInWater& boat,
                                     bool element_in_water);

} // namespace quaycell
