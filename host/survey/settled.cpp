#include "survey/settled.h"

#include <algorithm>
#include <fmt/format.h>
#include <vector>

namespace quaycell {

std::string settled_criterion() {
    return fmt::format("{} readings one after another within {} mV", settled_readings,
                       settled_within_mv);
}

PointValue value_of(std::span<const double> potentials_mv) {
    std::vector<double> sorted(potentials_mv.begin(), potentials_mv.end());
    std::ranges::sort(sorted);
    const std::size_t upper = sorted.size() / 2;
    const std::size_t lower = (sorted.size() - 1) / 2;
    return {(sorted[lower] + sorted[upper]) / 2, sorted.back() - sorted.front()};
}

bool is_settled(const PointValue& value, std::size_t readings) {
    return readings >= settled_readings && value.spread_mv <= settled_within_mv;
}

} // namespace quaycell
