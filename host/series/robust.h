// Middle and spread of values among which some are far off.
#pragma once

#include <span>
#include <vector>

namespace quaycell {

/// Missing values are left out; missing_value when nothing is left.
double median_of(std::vector<double> values);

/// Standard deviation of the noise from value to value, whatever slow change and steps lie beneath:
/// 1.4826 / sqrt(2) times the median size of the differences (normal distribution, computed). 0
/// below two values.
double noise_of(std::span<const double> values);

} // namespace quaycell
