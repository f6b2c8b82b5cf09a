#include "series/robust.h"

#include "series/trace.h"

#include <algorithm>
#include <cmath>

namespace quaycell {

namespace {

/// Of the median of sizes to the standard deviation, of a normal distribution.
constexpr double deviation_per_median_size = 1.4826;

} // namespace

double median_of(std::vector<double> values) {
    std::erase_if(values, [](double v) { return std::isnan(v); });
    if (values.empty()) return missing_value;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    if (values.size() % 2 != 0) return *middle;
    return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

double noise_of(std::span<const double> values) {
    std::vector<double> sizes;
    for (std::size_t i = 1; i < values.size(); ++i)
        sizes.push_back(std::abs(values[i] - values[i - 1]));
    const double median = median_of(std::move(sizes));
    return std::isnan(median) ? 0 : deviation_per_median_size * median / std::sqrt(2.0);
}

} // namespace quaycell
