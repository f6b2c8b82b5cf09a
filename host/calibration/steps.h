// What is joined to the logger, one after the other, while it is compared with an instrument.
#pragma once

#include "wire/calibration.h"

#include <cstdint>
#include <span>
#include <string_view>

namespace quaycell {

enum class StepKind {
    checks,     ///< of the converter itself, and AC without any
    fit_first,  ///< first point of the line
    fit_second, ///< second point: gain and offset
    verify,
    behind_100_kohm,
    behind_10_mohm,
    stimulus,
    ac,
};

struct Step {
    StepKind kind;
    int number;               ///< of the procedure; those up to 4 are always done
    std::string_view connect; ///< what to do, before the multimeter is read
    double nominal_mv;        ///< what the source is about to be set to
    bool has_source;          ///< the multimeter across it is asked for
    std::size_t place; ///< in the record's list of verify points or responses; 50 or 60 for AC
    std::uint32_t settle_s;
};

constexpr int last_core_step = 4;
constexpr int first_skippable_step = 5;
constexpr int last_skippable_step = 8;
constexpr int second_temperature_step = 9;

/// The steps for one cell, in order. The converter's own checks come first.
std::span<const Step> comparison_steps();

/// The one step at another temperature.
const Step& second_temperature_source();

} // namespace quaycell
