#include "calibration/steps.h"

#include <array>

namespace quaycell {

namespace {

constexpr std::uint32_t settle_s = 5;          // the input filter needs 3.2 s (simulated circuit)
constexpr std::uint32_t settle_10_mohm_s = 60; // its time constants grow with the resistance

constexpr std::string_view shorted =
    "Take the source off and join the cell's jack to the hull's clip with a short wire.";
constexpr std::string_view source = "Join the source to the hull's clip and the cell's jack, the "
                                    "multimeter across the source, and set it to about ";

constexpr std::array<Step, 16> steps{{
    {StepKind::checks, 1, shorted, 0, false, 0, settle_s},
    {StepKind::fit_first, 3, source, -1500, true, 0, settle_s},
    {StepKind::fit_second, 3, source, 300, true, 0, settle_s},
    {StepKind::verify, 4, source, wire::verify_points_mv[0], true, 0, settle_s},
    {StepKind::verify, 4, source, wire::verify_points_mv[1], true, 1, settle_s},
    {StepKind::verify, 4, source, wire::verify_points_mv[2], true, 2, settle_s},
    {StepKind::verify, 4, shorted, wire::verify_points_mv[3], false, 3, settle_s},
    {StepKind::verify, 4, source, wire::verify_points_mv[4], true, 4, settle_s},
    {StepKind::behind_100_kohm, 5,
     "Put 100 kohm between the source and the cell's jack, the multimeter across the source alone, "
     "and set it to about ",
     -1100, true, 0, settle_s},
    {StepKind::behind_10_mohm, 6,
     "Put 10 Mohm between the source and the cell's jack, the multimeter across the source alone, "
     "and set it to about ",
     -1100, true, 0, settle_10_mohm_s},
    {StepKind::stimulus, 7, shorted, 0, false, 0, settle_s},
    {StepKind::stimulus, 7, "Join the cell's jack to the hull's clip with 10 kohm.", 0, false, 1,
     settle_s},
    {StepKind::stimulus, 7, "Join the cell's jack to the hull's clip with 100 kohm.", 0, false, 2,
     settle_s},
    {StepKind::stimulus, 7, "Take everything off the cell's jack, its cable too.", 0, false, 3,
     settle_s},
    {StepKind::ac, 8,
     "Add 1 V rms of 50 Hz from an isolated low-voltage transformer and a divider to the source, "
     "nothing of the mains itself, and set the DC to about ",
     -1100, true, 50, settle_s},
    {StepKind::ac, 8,
     "Add 1 V rms of 60 Hz from an isolated low-voltage transformer and a divider to the source, "
     "nothing of the mains itself, and set the DC to about ",
     -1100, true, 60, settle_s},
}};

constexpr Step second_temperature{
    StepKind::verify,
    second_temperature_step,
    "With the logger long enough in the cold or the warm, and the source and the multimeter at "
    "room temperature: join the source to the hull's clip and the cell's jack, the multimeter "
    "across the source, and set it to about ",
    -1100,
    true,
    0,
    settle_s};

} // namespace

std::span<const Step> comparison_steps() {
    return steps;
}

const Step& second_temperature_source() {
    return second_temperature;
}

} // namespace quaycell
