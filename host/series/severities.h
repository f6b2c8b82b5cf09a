// The severity of one reading after another.
#pragma once

#include "protection/judge.h"
#include "series/trace.h"

#include <bit>
#include <cstdint>
#include <vector>

namespace quaycell {

/// Severities as severity_of() tells them, the last ones remembered: a converter shows few values.
class Severities {
  public:
    explicit Severities(const Rules& rules) : rules_(rules) {}

    Severity of(ByConstants standard_mv, double expanded_uncertainty_mv) {
        Known& known = known_[place_of(standard_mv)];
        if (known.computed_mv != standard_mv.computed_mv ||
            known.handbook_mv != standard_mv.handbook_mv ||
            known.uncertainty_mv != expanded_uncertainty_mv)
            known = {standard_mv.computed_mv, standard_mv.handbook_mv, expanded_uncertainty_mv,
                     severity_of(rules_, standard_mv, expanded_uncertainty_mv)};
        return known.severity;
    }

  private:
    struct Known {
        double computed_mv = missing_value; // equal to nothing
        double handbook_mv = missing_value;
        double uncertainty_mv = missing_value;
        Severity severity{};
    };
    static constexpr std::size_t places = 4096;

    static std::size_t place_of(ByConstants standard_mv) {
        constexpr std::uint64_t spread = 0x9E3779B97F4A7C15; // 2^64 by the golden ratio
        return std::bit_cast<std::uint64_t>(standard_mv.computed_mv) * spread >> 52U;
    }

    const Rules& rules_;
    std::vector<Known> known_ = std::vector<Known>(places);
};

} // namespace quaycell
