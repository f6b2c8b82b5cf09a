#include "protection/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace quaycell {
namespace {

constexpr std::array<std::string_view, 5> names{"under-protected", "protected", "over-protected",
                                                "undecided", "no-verdict"};

} // namespace

std::string_view name_of(Verdict verdict) {
    return names.at(static_cast<std::size_t>(verdict));
}

Verdict verdict_in(const Band& band, ByConstants potential_mv, double expanded_uncertainty_mv) {
    const double for_under_mv = potential_mv.less_negative_mv();
    const double for_over_mv = potential_mv.more_negative_mv();
    const auto doubtful = [&](const std::optional<double>& limit_mv, double at_mv) {
        return limit_mv && std::abs(at_mv - *limit_mv) < expanded_uncertainty_mv;
    };
    if (doubtful(band.protected_from_mv, for_under_mv) || doubtful(band.over_at_mv, for_over_mv))
        return Verdict::undecided;
    if (band.protected_from_mv && for_under_mv > *band.protected_from_mv)
        return Verdict::under_protected;
    if (band.over_at_mv && for_over_mv < *band.over_at_mv) return Verdict::over_protected;
    return Verdict::protected_;
}

BandProbability probability_in(const Band& band, ByConstants potential_mv, const Spread& spread) {
    const double under =
        band.protected_from_mv
            ? spread.probability_beyond(*band.protected_from_mv - potential_mv.less_negative_mv())
            : 0;
    // Mirrored rather than subtracted from 1, so that a small probability keeps its digits.
    const double over =
        band.over_at_mv
            ? spread.probability_beyond(potential_mv.more_negative_mv() - *band.over_at_mv)
            : 0;
    return {under, std::max(1 - under - over, 0.0), over};
}

} // namespace quaycell
