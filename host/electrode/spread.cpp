#include "electrode/spread.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace quaycell {

namespace {

/// Gauss and Legendre's rule of three points, for means from -1 to 1.
struct Sample {
    double at;
    double weight;
};
constexpr std::array samples{Sample{-0.774596669241483, 5.0 / 18}, Sample{0, 8.0 / 18},
                             Sample{0.774596669241483, 5.0 / 18}};

/// Of the half width as it may be.
template <typename Value>
double mean_over_widths(const RectangularError& rectangle, Value value) {
    if (rectangle.divided_within == 0) return value(rectangle.half_width_mv);
    double mean = 0;
    for (const Sample& sample : samples)
        mean += sample.weight *
                value(rectangle.half_width_mv / (1 + rectangle.divided_within * sample.at));
    return mean;
}

} // namespace

Spread::Spread(double expanded_mv)
    : normal_mv_(expanded_mv / coverage_factor), standard_mv_(normal_mv_) {}

Spread::Spread(double normal_standard_mv, std::vector<RectangularError> rectangles)
    : normal_mv_(normal_standard_mv), rectangles_(std::move(rectangles)) {
    double variance = normal_mv_ * normal_mv_;
    for (const RectangularError& rectangle : rectangles_)
        variance += mean_over_widths(rectangle, [](double width) { return width * width / 3; });
    standard_mv_ = std::sqrt(variance);
}

double Spread::probability_beyond(double distance_mv) const {
    if (standard_mv_ == 0) return distance_mv < 0 ? 1 : 0;
    if (rectangles_.empty())
        return std::erfc(distance_mv / (standard_mv_ * std::numbers::sqrt2)) / 2;

    // The Fourier series of the distribution on an interval that holds all of it. Where there is no
    // normal error, a breath of it keeps the series short.
    const double normal = std::max(normal_mv_, 1e-3 * standard_mv_);
    double reach = 9 * normal;
    for (const RectangularError& rectangle : rectangles_)
        reach += rectangle.half_width_mv / (1 - rectangle.divided_within);
    if (std::abs(distance_mv) >= reach) return distance_mv < 0 ? 1 : 0;
    const double step = std::numbers::pi / reach;
    double beyond = 0.5 - distance_mv / (2 * reach);
    for (double k = 1; k * step * normal < 7; ++k) {
        const double frequency = k * step;
        double part = std::exp(-frequency * frequency * normal * normal / 2);
        for (const RectangularError& rectangle : rectangles_)
            part *= mean_over_widths(rectangle, [frequency](double width) {
                return width > 0 ? std::sin(frequency * width) / (frequency * width) : 1;
            });
        beyond -= std::sin(frequency * distance_mv) * part / (std::numbers::pi * k);
    }
    return std::clamp(beyond, 0.0, 1.0);
}

} // namespace quaycell
