#include "series/robust.h"

#include "series/trace.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace quaycell {

namespace {

/// Of the median of sizes to the standard deviation, of a normal distribution.
constexpr double deviation_per_median_size = 1.4826;

double noise_by_median(double median_size) {
    return deviation_per_median_size * median_size / std::sqrt(2.0);
}

} // namespace

double median_in_place(std::span<double> values) {
    const auto end =
        std::remove_if(values.begin(), values.end(), [](double v) { return std::isnan(v); });
    const std::span<double> present(values.begin(), end);
    if (present.empty()) return missing_value;
    const auto middle = present.begin() + static_cast<std::ptrdiff_t>(present.size() / 2);
    std::nth_element(present.begin(), middle, present.end());
    if (present.size() % 2 != 0) return *middle;
    return (*middle + *std::max_element(present.begin(), middle)) / 2;
}

double median_of(std::vector<double> values) {
    return median_in_place(values);
}

double median_of(const Column<double>& values, std::size_t first, std::size_t end) {
    constexpr std::size_t enough = std::size_t{1} << 20U;
    const std::size_t step = (end - first) / enough + 1;
    std::vector<double> some;
    for (std::size_t i = first; i < end; i += step)
        some.push_back(values[i]);
    return median_in_place(some);
}

double noise_of(std::span<const double> values) {
    std::vector<double> sizes;
    for (std::size_t i = 1; i < values.size(); ++i)
        sizes.push_back(std::abs(values[i] - values[i - 1]));
    const double median = median_in_place(sizes);
    return std::isnan(median) ? 0 : noise_by_median(median);
}

double spread_of(std::vector<double> values) {
    const double middle = median_of(values);
    for (double& value : values)
        value = std::abs(value - middle);
    return deviation_per_median_size * median_in_place(values);
}

void NoiseMeter::add(double value) {
    const double size = std::abs(value - last_);
    const bool counts = has_last_ && !std::isnan(size);
    last_ = value;
    has_last_ = true;
    if (!counts) return;
    // A double's bits, read as a number, rise with it: its power of two, then its binary digits.
    constexpr int double_digits = 52, bias = 1023;
    constexpr std::int64_t lowest = std::int64_t{bias + least_power} << digits;
    const std::int64_t place =
        (std::bit_cast<std::int64_t>(size) >> (double_digits - digits)) - lowest;
    ++counts_[static_cast<std::size_t>(
        std::clamp(place + 1, std::int64_t{0}, std::int64_t{classes}))];
    ++count_;
}

double NoiseMeter::at_rank(std::uint64_t rank) const {
    std::uint64_t below = 0;
    std::size_t place = 0;
    while (place < classes && below + counts_[place] <= rank)
        below += counts_[place++];
    if (place == 0) return 0;
    const std::size_t whole = (place - 1) >> digits, part = (place - 1) & ((1U << digits) - 1);
    return std::ldexp(1 + static_cast<double>(part) / (1U << digits),
                      static_cast<int>(whole) + least_power);
}

double NoiseMeter::noise() const {
    if (count_ == 0) return 0;
    return noise_by_median((at_rank((count_ - 1) / 2) + at_rank(count_ / 2)) / 2);
}

} // namespace quaycell
