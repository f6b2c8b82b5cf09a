#include "series/statistics.h"

#include "series/trace.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace quaycell {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t most_classes = std::size_t{1} << 18U;
constexpr std::array percents{5, 50, 95};

/// Calls `take` with each value that is there and its weight.
template <typename Take>
void each_weighted(const Column<double>& values, const Column<Milliseconds>& stands_for, bool alike,
                   Take take) {
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double value = values[i];
        if (!std::isnan(value)) take(value, alike ? 1 : stands_for[i].count());
    }
}

} // namespace

Percentiles::Percentiles(double low, double high, std::size_t classes)
    : low_(low), per_unit_(high > low ? static_cast<double>(classes) / (high - low) : 0),
      last_class_(static_cast<double>(classes - 1)), weights_(classes, 0), wanted_(classes, false),
      min_(infinite), max_(-infinite) {}

/// The class that a percentile falls into, and what lies below it.
std::size_t Percentiles::class_at(int percent, std::int64_t& below) const {
    // In whole numbers, so that "exactly between" is exact.
    const std::int64_t wanted = percent * total_;
    std::size_t place = 0;
    below = 0;
    while (place + 1 < weights_.size() && (below + weights_[place]) * 100 < wanted)
        below += weights_[place++];
    return place;
}

void Percentiles::look_for(std::span<const int> wanted) {
    for (const int percent : wanted) {
        std::int64_t below = 0;
        std::size_t place = class_at(percent, below);
        wanted_[place] = true;
        // The next value counts, too, where it falls exactly between two.
        for (++place; place < weights_.size() && weights_[place] == 0;)
            ++place;
        if (place < weights_.size()) wanted_[place] = true;
    }
}

double Percentiles::percentile(int percent) const {
    if (total_ == 0) return missing_value;
    const std::int64_t wanted = percent * total_;
    std::int64_t up_to = 0;
    const std::size_t place = class_at(percent, up_to);
    double lower = missing_value;
    for (auto kept = kept_.find(place); kept != kept_.end(); ++kept)
        for (const auto& [value, weight] : kept->second) {
            if (!std::isnan(lower)) return (lower + value) / 2;
            up_to += weight;
            if (up_to * 100 == wanted)
                lower = value;
            else if (up_to * 100 > wanted)
                return value;
        }
    return lower;
}

double Percentiles::min() const {
    return total_ == 0 ? missing_value : min_;
}
double Percentiles::max() const {
    return total_ == 0 ? missing_value : max_;
}

Statistics statistics_of(const Column<double>& values_mv, const Column<Milliseconds>& stands_for) {
    double low = infinite, high = -infinite;
    bool alike = true;
    for (std::size_t i = 0; i < values_mv.size(); ++i) {
        const double value = values_mv[i];
        alike = alike && stands_for[i].count() == 0;
        if (std::isnan(value)) continue;
        low = std::min(low, value);
        high = std::max(high, value);
    }
    if (low > high)
        return {missing_value, missing_value, missing_value, missing_value, missing_value};
    Percentiles found(low, high, std::clamp<std::size_t>(values_mv.size() / 8, 16, most_classes));
    each_weighted(values_mv, stands_for, alike,
                  [&](double value, std::int64_t weight) { found.add(value, weight); });
    found.look_for(percents);
    each_weighted(values_mv, stands_for, alike,
                  [&](double value, std::int64_t weight) { found.add_again(value, weight); });
    return {found.percentile(50), found.percentile(5), found.percentile(95), low, high};
}

} // namespace quaycell
