#include "electrode/spread.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace quaycell {

Spread::Spread(double expanded_mv)
    : normal_mv_(expanded_mv / coverage_factor), standard_mv_(normal_mv_) {}

Spread::Spread(double normal_standard_mv, std::vector<double> half_widths_mv)
    : normal_mv_(normal_standard_mv), half_widths_mv_(std::move(half_widths_mv)) {
    double variance = normal_mv_ * normal_mv_;
    for (const double half_width : half_widths_mv_)
        variance += half_width * half_width / 3;
    standard_mv_ = std::sqrt(variance);
}

double Spread::probability_beyond(double distance_mv) const {
    if (standard_mv_ == 0) return distance_mv < 0 ? 1 : 0;
    if (half_widths_mv_.empty())
        return std::erfc(distance_mv / (standard_mv_ * std::numbers::sqrt2)) / 2;

    // The Fourier series of the distribution on an interval that holds all of it. Where there is no
    // normal error, a breath of it keeps the series short.
    const double normal = std::max(normal_mv_, 1e-3 * standard_mv_);
    double reach = 9 * normal;
    for (const double half_width : half_widths_mv_)
        reach += half_width;
    if (std::abs(distance_mv) >= reach) return distance_mv < 0 ? 1 : 0;
    const double step = std::numbers::pi / reach;
    double beyond = 0.5 - distance_mv / (2 * reach);
    for (double k = 1; k * step * normal < 7; ++k) {
        const double frequency = k * step;
        double part = std::exp(-frequency * frequency * normal * normal / 2);
        for (const double half_width : half_widths_mv_)
            if (half_width > 0) part *= std::sin(frequency * half_width) / (frequency * half_width);
        beyond -= std::sin(frequency * distance_mv) * part / (std::numbers::pi * k);
    }
    return std::clamp(beyond, 0.0, 1.0);
}

} // namespace quaycell
