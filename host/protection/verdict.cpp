#include "protection/verdict.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace quaycell {
namespace {

constexpr std::array<std::string_view, 5> names{"under-protected", "protected", "over-protected",
                                                "undecided", "no-verdict"};

constexpr double coverage_factor = 2; // expanded to standard uncertainty

/// Probability that the true potential is less negative than the limit.
double probability_above(double limit_mv, double potential_mv, double standard_mv) {
    if (standard_mv == 0) return potential_mv > limit_mv ? 1 : 0;
    return std::erfc((limit_mv - potential_mv) / (standard_mv * std::numbers::sqrt2)) / 2;
}

} // namespace

std::string_view name_of(Verdict verdict) {
    return names.at(static_cast<std::size_t>(verdict));
}

Verdict verdict_in(const Band& band, double potential_mv, double expanded_uncertainty_mv) {
    const auto doubtful = [&](const std::optional<double>& limit_mv) {
        return limit_mv && std::abs(potential_mv - *limit_mv) < expanded_uncertainty_mv;
    };
    if (doubtful(band.protected_from_mv) || doubtful(band.over_at_mv)) return Verdict::undecided;
    if (band.protected_from_mv && potential_mv > *band.protected_from_mv)
        return Verdict::under_protected;
    if (band.over_at_mv && potential_mv < *band.over_at_mv) return Verdict::over_protected;
    return Verdict::protected_;
}

BandProbability probability_in(const Band& band, double potential_mv,
                               double expanded_uncertainty_mv) {
    const double standard_mv = expanded_uncertainty_mv / coverage_factor;
    const double under = band.protected_from_mv
                             ? probability_above(*band.protected_from_mv, potential_mv, standard_mv)
                             : 0;
    // Mirrored rather than subtracted from 1, so that a small probability keeps its digits.
    const double over =
        band.over_at_mv ? probability_above(-*band.over_at_mv, -potential_mv, standard_mv) : 0;
    return {under, 1 - under - over, over};
}

} // namespace quaycell
