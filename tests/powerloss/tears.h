// The ways in which an operation can be cut short that are tried.
#pragma once

#include "cells.h"

namespace quaycell::powerloss {

struct SeededTear {
    Tear tear;
    std::uint64_t seed;
};

/// All of them, for the first cut.
const std::vector<SeededTear>& all_tears(bool erase);
/// Those that are tried together with the loss of another sector.
const std::vector<SeededTear>& tears_with_loss(bool erase);
/// One of each sort, for the second cut.
const std::vector<Tear>& second_tears(bool erase);

} // namespace quaycell::powerloss
