#include "bench/sea/calibrator.h"

#include <algorithm>
#include <ranges>

namespace quaycell::bench {

void Calibrator::join(Cell cell, Time now, const std::optional<JoinedSource>& source) {
    joined_[static_cast<unsigned>(cell)].push_back({now, source});
}

const JoinedSource* Calibrator::at(Cell cell, Time when) const {
    for (const Joined& joined : std::views::reverse(joined_[static_cast<unsigned>(cell)]))
        if (joined.from <= when) return joined.source ? &*joined.source : nullptr;
    return nullptr;
}

std::optional<double> Calibrator::board_c(Time when) const {
    for (const Held& held : std::views::reverse(board_))
        if (held.from <= when) return held.board_c;
    return std::nullopt;
}

} // namespace quaycell::bench
