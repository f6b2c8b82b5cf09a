// Which of very many events and spells are listed where there is no room for all.
#pragma once

#include "chart/numbered.h"

namespace quaycell {

/// Which of very many are listed, in order of time.
struct Listed {
    std::vector<std::size_t> rows;
    std::size_t left_out = 0;
    Milliseconds left_out_lasting{0}; ///< together
};

/// Those with the largest changes.
Listed largest_events(const std::vector<Event>& events, std::size_t most);

/// The longest, and of each verdict the one that went farthest, however short.
Listed longest_spells(const std::vector<NumberedSpell>& spells, std::size_t most);

} // namespace quaycell
