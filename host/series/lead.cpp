#include "series/lead.h"

#include "wire/record.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

/// With the hull's clip off and both cells in the water each finds the other: 71 to 91 mV of 167
/// (hardware-notes/simulated.csv). Half way to the 143 mV of an open lead on 3 nF of cable.
constexpr double clip_off_up_to = 0.71; // of the open response

/// Above this share of the open response a resistance cannot be told from an open lead, whose cable
/// takes it down that far.
constexpr double tellable_up_to = 0.82;

double response_mv(std::uint8_t code, const wire::Circuit& circuit) {
    return code * circuit.source_uv_per_code * 1e-3;
}

} // namespace

std::string_view name_of(LeadState state) {
    switch (state) {
    case LeadState::unknown:
        return "not looked at";
    case LeadState::good:
        return "good";
    case LeadState::drying:
        return "drying";
    case LeadState::not_good:
        return "not good";
    }
    return "";
}

LeadState lead_state(std::uint8_t code, const wire::Circuit& circuit) {
    if (code == wire::missing_byte) return LeadState::unknown;
    // Whole codes, as the logger counts.
    const auto reaches = [&](std::uint16_t mv) {
        return circuit.source_uv_per_code != 0 && code >= mv * 1000U / circuit.source_uv_per_code;
    };
    if (reaches(circuit.stimulus_not_good_mv)) return LeadState::not_good;
    return reaches(circuit.stimulus_drying_mv) ? LeadState::drying : LeadState::good;
}

double source_ohm(std::uint8_t code, const wire::Circuit& circuit) {
    if (code == wire::missing_byte) return missing_value;
    const double open_mv = circuit.stimulus_open_mv;
    const double mv = response_mv(code, circuit);
    if (mv >= tellable_up_to * open_mv) return missing_value;
    const double loop_ohm = circuit.stimulus_half_ohm * mv / (open_mv - mv);
    return std::max(0.0, loop_ohm - circuit.hull_lead_ohm);
}

std::string lead_words(std::uint8_t code_a, std::uint8_t code_b, const wire::Circuit& circuit) {
    const LeadState a = lead_state(code_a, circuit);
    const LeadState b = lead_state(code_b, circuit);
    if (a == LeadState::drying)
        return fmt::format("the resistance of cell and lead is high, {:.0f} kohm: the cell is "
                           "drying out or clogged",
                           source_ohm(code_a, circuit) / 1000);
    if (a != LeadState::not_good) return "";
    const double clip_off_mv = clip_off_up_to * circuit.stimulus_open_mv;
    if (b == LeadState::good || b == LeadState::drying)
        return "cell A's lead is open or the cell is dry; the hull's clip holds, as cell B shows";
    if (b == LeadState::not_good && response_mv(code_a, circuit) < clip_off_mv &&
        response_mv(code_b, circuit) < clip_off_mv)
        return "the hull's clip is off; both cells are in the water";
    return "the lead of the cell is open, the cell is dry or out of the water, or the hull's clip "
           "is off";
}

} // namespace quaycell
