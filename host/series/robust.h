// Middle and spread of values among which some are far off.
#pragma once

#include "series/column.h"

#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace quaycell {

/// Missing values are left out; missing_value when nothing is left.
double median_of(std::vector<double> values);

/// The same, without a copy: the values change places.
double median_in_place(std::span<double> values);

/// The values [first, end) of a column; of very many, pieces from all over them, up to a million.
std::vector<double> some_of(const Column<double>& values, std::size_t first, std::size_t end);

/// The median of those.
double median_of(const Column<double>& values, std::size_t first, std::size_t end);
double median_of(const Column<double>& values);

/// Standard deviation of the noise from value to value, whatever slow change and steps lie beneath:
/// 1.4826 / sqrt(2) times the median size of the differences (normal distribution, computed). 0
/// below two values.
double noise_of(std::span<const double> values);

/// Standard deviation by the middle distance from the median (normal distribution): half of the
/// values may lie anywhere. missing_value where there is none.
double spread_of(std::vector<double> values);

/// The same as noise_of() of any number of values, which are taken one after another and not kept:
/// exact to a thousandth of itself.
class NoiseMeter {
  public:
    void add(double value);
    double noise() const;

  private:
    // Sizes from 2^-20 to 2^20, by their leading ten binary digits; below, they count as 0.
    static constexpr int digits = 10, least_power = -20, most_power = 20;
    static constexpr std::size_t classes = std::size_t{most_power - least_power} << digits;

    double at_rank(std::uint64_t rank) const;

    std::vector<std::uint32_t> counts_ = std::vector<std::uint32_t>(classes + 1, 0);
    std::uint64_t count_ = 0;
    double last_ = 0;
    bool has_last_ = false;
};

} // namespace quaycell
