// Every operation of a workload, cut short in every way, and cut short once more in the recovery.
#pragma once

#include "power_cut.h"
#include "workload.h"

#include <functional>

namespace quaycell::powerloss {

struct Choice {
    std::optional<Case> only; ///< nothing but this one
    /// Of so many cuts in readings one is tried, by chance; of others more, with a worn sector
    /// less.
    std::uint64_t one_of = 1;
};

struct Tally {
    std::uint64_t operations = 0;
    std::uint64_t cases = 0;
    std::uint64_t failures = 0;
    /// Cuts that are left out: what they leave of a record has, by chance, the right checksum.
    std::uint64_t fitting_by_chance = 0;
};

/// `failed(line, why)` is told of each failure, and says whether to go on.
using Failed = std::function<bool(const std::string& line, const std::string& why)>;

/// `worn`: a sector that is so from the beginning, or from after what the workload prepares.
Tally run(const Workload& workload, const std::optional<Worn>& worn, const Choice& choice,
          const Failed& failed);

} // namespace quaycell::powerloss
