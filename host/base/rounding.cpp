#include "base/rounding.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

int told_decimals(double uncertainty) {
    if (!(uncertainty > 0) || !std::isfinite(uncertainty)) return 0;
    const int decimals = 1 - static_cast<int>(std::floor(std::log10(uncertainty)));
    // 9.96 is 10, which has one digit more than 9.9.
    const bool gains_a_digit =
        std::round(uncertainty * std::pow(10.0, decimals)) >= 100; // of two significant ones
    return gains_a_digit ? decimals - 1 : decimals;
}

int told_decimals_mv(double uncertainty_mv) {
    return std::min(told_decimals(uncertainty_mv), told_decimals(10 * least_told_mv));
}

double rounded_to(double value, int decimals) {
    if (decimals >= 0) {
        const double power = std::pow(10.0, decimals);
        return std::round(value * power) / power;
    }
    const double power = std::pow(10.0, -decimals);
    return std::round(value / power) * power;
}

std::string rounded_text(double value, int decimals) {
    return fmt::format("{:.{}f}", rounded_to(value, decimals), std::max(decimals, 0));
}

std::string significant_text(double value, int digits) {
    if (value == 0 || !std::isfinite(value)) return fmt::format("{:g}", value);
    const int before_point = static_cast<int>(std::floor(std::log10(std::abs(value)))) + 1;
    return rounded_text(value, digits - before_point);
}

} // namespace quaycell
