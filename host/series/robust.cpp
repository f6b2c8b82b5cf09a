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

/// As std::nth_element, in a fifth of the time where values are few: what goes where is computed,
/// not decided, so that a processor need not guess it.
void put_in_place(std::span<double> values, std::size_t nth) {
    constexpr int rounds = 32; // as many halve any number of values; an unlucky order takes more
    std::size_t first = 0, end = values.size();
    const auto to_the_front = [&](auto belongs) {
        std::size_t front = first;
        for (std::size_t i = first; i < end; ++i) {
            const double value = values[i];
            values[i] = values[front];
            values[front] = value;
            front += belongs(value);
        }
        return front;
    };
    for (int round = 0; round < rounds; ++round) {
        const double a = values[first], b = values[first + (end - first) / 2], c = values[end - 1];
        const double pivot = std::max(std::min(a, b), std::min(std::max(a, b), c));
        const std::size_t less = to_the_front([pivot](double value) { return value < pivot; });
        if (nth < less) {
            end = less;
        } else if (less != first) {
            first = less;
        } else { // none is less than the pivot
            const std::size_t equal =
                to_the_front([pivot](double value) { return value == pivot; });
            if (nth < equal) return;
            first = equal;
        }
    }
    const auto at = [&](std::size_t place) {
        return values.begin() + static_cast<std::ptrdiff_t>(place);
    };
    std::nth_element(at(first), at(nth), at(end));
}

} // namespace

double median_in_place(std::span<double> values) {
    const auto end =
        std::remove_if(values.begin(), values.end(), [](double v) { return std::isnan(v); });
    const std::span<double> present(values.begin(), end);
    if (present.empty()) return missing_value;
    const std::size_t middle = present.size() / 2;
    put_in_place(present, middle);
    if (present.size() % 2 != 0) return present[middle];
    return (present[middle] + std::ranges::max(present.first(middle))) / 2;
}

double median_of(std::vector<double> values) {
    return median_in_place(values);
}

std::vector<double> some_of(const Column<double>& values, std::size_t first, std::size_t end) {
    constexpr std::size_t enough = std::size_t{1} << 20U;
    const std::size_t every = (end - first) / enough + 1;
    std::vector<double> some;
    for (std::size_t from = first; from < end; from += every * column_piece) {
        const std::size_t to = std::min(from + column_piece, end);
        some.resize(some.size() + (to - from));
        values.read(from, std::span(some).last(to - from));
    }
    return some;
}

double median_of(const Column<double>& values, std::size_t first, std::size_t end) {
    return median_of(some_of(values, first, end));
}
double median_of(const Column<double>& values) {
    return median_of(values, 0, values.size());
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
