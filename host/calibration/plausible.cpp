#include "calibration/plausible.h"

#include "series/lead.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

// Our judgement, all three. A source is set by hand; a pair of points 1.8 V apart loses nothing by
// a tenth of a volt.
constexpr double set_within_mv = 100;
constexpr double least_ac_mv = 500, most_ac_mv = 2000;

/// Gain and offset that are still accepted make 4 mV, a converter off by all that its data sheet
/// allows 6 mV more.
constexpr double same_source_mv = 20;

Error complaint(std::string what, std::string remedy) {
    return {ErrorCode::refused, std::move(what), "", std::move(remedy)};
}

} // namespace

std::optional<Error> mistyped(const Step& step, const MeterReading& meter) {
    if (!step.has_source) return std::nullopt;
    if (!(std::abs(meter.dc_mv - step.nominal_mv) <= set_within_mv))
        return complaint(
            fmt::format("{:.1f} mV is not about {:+.0f} mV", meter.dc_mv, step.nominal_mv),
            "Set the source again and type what the multimeter shows, with its sign "
            "and its unit, for instance -1.5003V.");
    if (step.kind == StepKind::ac && !(meter.ac_mv >= least_ac_mv && meter.ac_mv <= most_ac_mv))
        return complaint(fmt::format("{:.0f} mV is not about 1 V rms of AC", meter.ac_mv),
                         "Set the AC again and type what the multimeter shows in its AC range, "
                         "for instance 1.003V.");
    return std::nullopt;
}

std::optional<Error> misjoined(const Step& step, CellInput cell, const Sample& sample,
                               const MeterReading& meter, const Conversion& conversion,
                               const wire::Circuit& circuit) {
    // Neither the converter's own checks nor the stimulus look at a potential.
    if (step.kind == StepKind::checks || step.kind == StepKind::stimulus) return std::nullopt;
    const char name = cell == CellInput::a ? 'A' : 'B';
    const CellInput other = cell == CellInput::a ? CellInput::b : CellInput::a;
    const double true_mv = step.has_source ? meter.dc_mv : step.nominal_mv;
    const auto shown_mv = [&](CellInput input, double code) {
        return conversion.potential_mv(input, code, sample.board_c, sample.converter);
    };
    const auto is = [&](double mv) { return std::abs(mv - true_mv) <= same_source_mv; };
    const double here_mv = shown_mv(cell, sample.code);
    if (is(here_mv)) return std::nullopt;
    // The other way round, a source beyond COM's own voltage takes the input to ground.
    const double ground_mv = circuit.reference_uv * 1e-3;
    const bool at_ground = -true_mv > ground_mv && here_mv >= ground_mv - same_source_mv;
    if (is(-here_mv) || at_ground)
        return complaint(fmt::format("the logger shows {:+.1f} mV at cell {}, the multimeter "
                                     "{:+.1f} mV: the leads are swapped, or the sign is",
                                     here_mv, name, true_mv),
                         "The multimeter's red lead goes to the hull's clip, its black lead "
                         "to the cell's jack; a protected hull is negative then.");
    if (!std::isnan(sample.other_code) && is(shown_mv(other, sample.other_code)))
        return complaint(
            fmt::format("the source is at the other cell's jack, not at cell {}", name),
            "Join it to the jack that is asked for; or the two cells' plugs are "
            "swapped.");
    const bool open = step.kind != StepKind::behind_10_mohm &&
                      lead_state(sample.response, circuit) == LeadState::not_good;
    if (open)
        return complaint(fmt::format("the lead to cell {} is open: the logger shows {:+.1f} mV, "
                                     "the multimeter {:+.1f} mV",
                                     name, here_mv, true_mv),
                         "Look at plugs, wires and the fuse in the hull's lead.");
    return complaint(
        fmt::format("the logger shows {:+.1f} mV at cell {}, where {} mV", here_mv, name,
                    step.has_source ? fmt::format("the multimeter shows {:+.1f}", true_mv)
                                    : std::string("a short has 0")),
        "See that both look at the same source, that the multimeter measures DC, and "
        "that what was typed is what it shows.");
}

} // namespace quaycell
