#include "series/coverage.h"

#include <algorithm>

namespace quaycell {

namespace {

Milliseconds median_spacing(std::span<const Instant> time) {
    std::vector<Milliseconds> spacings;
    spacings.reserve(time.size());
    for (std::size_t i = 1; i < time.size(); ++i)
        spacings.push_back(time[i] - time[i - 1]);
    if (spacings.size() < 2) return Milliseconds{0};
    const auto middle = spacings.begin() + static_cast<std::ptrdiff_t>((spacings.size() - 1) / 2);
    std::nth_element(spacings.begin(), middle, spacings.end());
    return *middle;
}

} // namespace

Coverage coverage_of(std::span<const Instant> time) {
    Coverage coverage;
    coverage.interval = median_spacing(time);
    coverage.stands_for.assign(time.size(), coverage.interval);
    if (time.size() < 3) return coverage;
    for (std::size_t i = 0; i + 1 < time.size(); ++i) {
        const Milliseconds spacing = time[i + 1] - time[i];
        if (2 * spacing <= 5 * coverage.interval)
            coverage.stands_for[i] = spacing;
        else
            coverage.gaps.push_back({time[i] + coverage.interval, time[i + 1]});
    }
    return coverage;
}

} // namespace quaycell
