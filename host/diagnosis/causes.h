// What may lie behind a verdict, as far as one reading tells.
#pragma once

#include "protection/judge.h"

#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// What a cause may depend on beside the reading.
struct BoatInWater {
    Hull hull;
    std::vector<std::string> anode_alloys; ///< "zinc", "aluminium", "magnesium"; may be empty
    Water water;
};

/// A cause that would explain the reading; others may, too.
struct Cause {
    std::string_view id; ///< "too-few-anodes"
    std::string why;     ///< a sentence
    std::string_view source;
    std::string_view status; ///< in words: "read", "common practice, no source", "our judgement"
};

/// The likelier ones first; empty where nothing needs explaining or the reading tells nothing.
std::vector<Cause> causes_of(const Judgement& judgement, const BoatInWater& boat);

} // namespace quaycell
