// Amounts of which each lies between two limits, none below zero: what comes of them lies between
// the limits of the result.
#pragma once

#include "base/range.h"

namespace quaycell {

constexpr Range exactly(double value) {
    return {value, value};
}

constexpr Range times(Range a, Range b) {
    return {a.low * b.low, a.high * b.high};
}

/// `b` not zero.
constexpr Range over(Range a, Range b) {
    return {a.low / b.high, a.high / b.low};
}

constexpr Range times(Range a, double factor) {
    return {a.low * factor, a.high * factor};
}

constexpr Range plus(Range a, Range b) {
    return {a.low + b.low, a.high + b.high};
}

} // namespace quaycell
