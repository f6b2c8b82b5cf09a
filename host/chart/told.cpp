#include "chart/told.h"

#include "base/rounding.h"
#include "chart/axis.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

std::string told_to(double value, int decimals) {
    return number_text(rounded_to(value, decimals), std::max(decimals, 0));
}

} // namespace

std::string told_mv(double potential_mv, double expanded_uncertainty_mv) {
    return told_to(potential_mv, told_decimals_mv(expanded_uncertainty_mv));
}

std::string told_uncertainty_mv(double expanded_uncertainty_mv) {
    if (!(expanded_uncertainty_mv > 0)) return "0";
    const double least = std::max(expanded_uncertainty_mv, least_told_mv);
    return told_to(least, told_decimals_mv(least));
}

std::string told(double value, double uncertainty) {
    return told_to(value, told_decimals(uncertainty));
}

std::string percent_text(double share) {
    if (share > 0 && share < 0.0005) return "<0.1 %";
    if (share < 1 && share >= 0.9995) return ">99.9 %";
    return fmt::format("{} %", number_text(100 * share, share == 1 ? 0 : 1));
}

} // namespace quaycell
