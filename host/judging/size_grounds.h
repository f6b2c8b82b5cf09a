// What a sizing stands on: the numbers, with where they come from.
#pragma once

#include "anode/alloy.h"
#include "judging/size_options.h"

namespace quaycell {

/// What a sizing is made of, with where it comes from.
struct SizingGrounds {
    CurrentDemand demand;
    AnodeUse use;
    Alloy alloy;
    std::vector<std::string> sources;
    std::vector<std::string> assumed;
    std::vector<std::string> warnings;
};

/// Errors: wrong_usage (too little or contradictory), wrong_input and out_of_range (amounts), and
/// refused: a grp or wooden hull by its measures; an alloy that destroys what it is to protect,
/// unless somebody insists.
Result<SizingGrounds> sizing_grounds(const SizeOptions& options);

} // namespace quaycell
