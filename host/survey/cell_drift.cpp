#include "survey/cell_drift.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace quaycell {

std::string cell_settled_criterion() {
    return fmt::format("drifts by no more than {:g} mV in {:g} min", cell_settled_within_mv,
                       cell_watch_s / 60);
}

void CellDrift::take(double at_s, double potential_mv) {
    constexpr double longest_break_s = 10;
    if (!seen_.empty()) {
        const double since_s = at_s - seen_.back().at_s;
        const bool jumps = std::abs(potential_mv - seen_.back().potential_mv) > cell_jump_mv;
        if (since_s < 0 || since_s > longest_break_s || jumps) seen_.clear();
    }
    seen_.push_back({at_s, potential_mv});
    // One reading at or before the beginning stays, so that the whole time is covered.
    while (seen_.size() > 2 && at_s - seen_[1].at_s >= cell_watch_s)
        seen_.pop_front();
}

CellSettling CellDrift::now() const {
    CellSettling settling{0, std::numeric_limits<double>::quiet_NaN()};
    if (seen_.empty()) return settling;
    settling.watched_s = std::min(seen_.back().at_s - seen_.front().at_s, cell_watch_s);
    if (settling.watched_s < least_cell_watch_s) return settling;
    // Least squares, from the middle so that large times cost no digits.
    const auto count = static_cast<double>(seen_.size());
    double mean_s = 0, mean_mv = 0;
    for (const Seen& each : seen_) {
        mean_s += (each.at_s - seen_.front().at_s) / count;
        mean_mv += each.potential_mv / count;
    }
    double both = 0, squares = 0;
    for (const Seen& each : seen_) {
        const double from_mean_s = each.at_s - seen_.front().at_s - mean_s;
        both += from_mean_s * (each.potential_mv - mean_mv);
        squares += from_mean_s * from_mean_s;
    }
    settling.drift_mv = both / squares * cell_watch_s;
    settling.settled =
        settling.watched_s >= cell_watch_s && std::abs(settling.drift_mv) <= cell_settled_within_mv;
    return settling;
}

} // namespace quaycell
