#include "series/statistics.h"

#include "series/trace.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

struct Weighted {
    double value;
    std::int64_t up_to; ///< summed weight of all values up to this one
};

double percentile(const std::vector<Weighted>& sorted, std::int64_t percent) {
    // In whole numbers, so that "exactly between" is exact.
    const std::int64_t wanted = percent * sorted.back().up_to;
    const auto at = std::lower_bound(
        sorted.begin(), sorted.end(), wanted,
        [](const Weighted& entry, std::int64_t sum) { return entry.up_to * 100 < sum; });
    const auto next = at + 1;
    if (at->up_to * 100 == wanted && next != sorted.end()) return (at->value + next->value) / 2;
    return at->value;
}

} // namespace

std::vector<std::int64_t> weights_of(std::span<const Milliseconds> stands_for) {
    std::vector<std::int64_t> weights;
    weights.reserve(stands_for.size());
    for (const Milliseconds time : stands_for)
        weights.push_back(time.count());
    if (std::all_of(weights.begin(), weights.end(), [](std::int64_t w) { return w == 0; }))
        std::fill(weights.begin(), weights.end(), 1);
    return weights;
}

Statistics statistics_of(std::span<const double> values_mv,
                         std::span<const Milliseconds> stands_for) {
    const std::vector<std::int64_t> weights = weights_of(stands_for);
    std::vector<Weighted> sorted;
    sorted.reserve(values_mv.size());
    for (std::size_t i = 0; i < values_mv.size(); ++i)
        if (!std::isnan(values_mv[i])) sorted.push_back({values_mv[i], weights[i]});
    if (sorted.empty())
        return {missing_value, missing_value, missing_value, missing_value, missing_value};
    std::sort(sorted.begin(), sorted.end(),
              [](const Weighted& a, const Weighted& b) { return a.value < b.value; });
    std::int64_t sum = 0;
    for (Weighted& entry : sorted)
        entry.up_to = sum += entry.up_to;
    return {percentile(sorted, 50), percentile(sorted, 5), percentile(sorted, 95),
            sorted.front().value, sorted.back().value};
}

} // namespace quaycell
