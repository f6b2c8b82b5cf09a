// A cut of the power, and the one line that names a case so that it can be run again.
#pragma once

#include "cells.h"

#include <optional>
#include <string>
#include <string_view>

namespace quaycell::powerloss {

struct PowerCut {
    unsigned at; ///< number of the operation in the life that it ends, from 0
    Tear tear;

    bool operator==(const PowerCut&) const = default;
};

/// workload=ring worn=stuck-bit:3 cut=137 tear=byte:12 lost=2 second=3 second-tear=weak seed=7
struct Case {
    std::string workload;
    std::optional<Worn> worn; ///< a sector that is worn all the time
    PowerCut first;
    std::optional<std::uint32_t> lost; ///< a sector that the first cut takes with it
    std::optional<PowerCut> second;    ///< while the logger recovers from the first
    std::uint64_t seed = 0;

    std::string to_text() const;
    bool operator==(const Case&) const = default;
};

/// One worn sector: each kind at each place.
std::vector<Worn> all_worn();
std::string to_text(const Worn& worn);

/// Throws std::invalid_argument, which says what is wrong.
Case parse_case(std::string_view text);

} // namespace quaycell::powerloss
