// A potential by both kinds of constants, so that the stricter one can count.
#pragma once

#include <algorithm>

namespace quaycell {

/// A potential, or the offset that leads to one, by the computed equations and by the rounded
/// constants of the standards (Constants), [mV]. Where they differ each end of a band is held
/// against the stricter of the two.
struct ByConstants {
    double computed_mv;
    double handbook_mv;

    constexpr ByConstants(double both_mv) : ByConstants(both_mv, both_mv) {}
    constexpr ByConstants(double computed, double handbook)
        : computed_mv(computed), handbook_mv(handbook) {}

    /// Stricter for protection, and what is shown.
    constexpr double less_negative_mv() const { return std::max(computed_mv, handbook_mv); }
    /// Stricter for over-protection.
    constexpr double more_negative_mv() const { return std::min(computed_mv, handbook_mv); }
};

constexpr ByConstants operator+(ByConstants a, ByConstants b) {
    return {a.computed_mv + b.computed_mv, a.handbook_mv + b.handbook_mv};
}
constexpr ByConstants operator-(ByConstants a, ByConstants b) {
    return {a.computed_mv - b.computed_mv, a.handbook_mv - b.handbook_mv};
}

} // namespace quaycell
