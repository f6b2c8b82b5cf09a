// A value between two limits.
#pragma once

namespace quaycell {

/// A value known to lie between two limits; a single value has low == high.
struct Range {
    double low = 0;
    double high = 0;
    constexpr double middle() const { return (low + high) / 2; }
    constexpr double half_width() const { return (high - low) / 2; }
};

} // namespace quaycell
