#include "calibration/limits.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

// No hardware was built: "design" is what the circuit, simulated with ngspice, and the parts' data
// sheets promise.
constexpr std::string_view design = "design value of the circuit; not measured on hardware";
constexpr std::string_view judgement = "our judgement";

constexpr std::array<LimitFacts, 17> table{{
    {"zero", -3, 3, "codes", 2, 1,
     "largest offset of the converter by its data sheet; not measured on hardware"},
    {"reference", 1021.44, 1026.56, "mV", 2, 2,
     "1.024 V within 0.25 %: design value of the circuit; not measured on hardware"},
    {"AC shown without any", 0, 5.4, "mV", 2, 1,
     "3.6 mV in the simulated circuit, and half as much again: our judgement"},
    {"gain", 0.9983, 1.0023, "", 5, 3,
     "1.0003 within 0.0020, by gain and input of the converter: design value; not measured on "
     "hardware"},
    {"offset", -0.4, 0.4, "mV", 3, 3, design},
    {"error", -0.25, 0.25, "mV", 3, 4, design},
    {"shift behind 100 kohm", -0.1, 0.1, "mV", 3, 5, design},
    {"shift behind 10 Mohm", -3.5, 3.5, "mV", 3, 6,
     "350 pA at the input: design value; not measured on hardware"},
    {"stimulus, short", 4.675, 6.325, "mV", 2, 7,
     "5.5 mV in the simulated circuit within 15 %; not measured on hardware"},
    {"stimulus, 10 kohm", 9.1, 12.3, "mV", 2, 7,
     "10.7 mV in the simulated circuit within 15 %; not measured on hardware"},
    {"stimulus, 100 kohm", 38.8, 52.6, "mV", 2, 7,
     "45.7 mV in the simulated circuit within 15 %; not measured on hardware"},
    {"stimulus, open", 140, 201, "mV", 1, 7,
     "167 mV in the simulated circuit, 143 with 3 nF of cable; the upper end is the scale's"},
    {"true AC over shown", 0.97, 1.03, "", 4, 8, design},
    {"shift of the DC by AC", -0.1, 0.1, "mV", 3, 8, design},
    {"drift of the gain", -30, 30, "ppm/K", 2, 9,
     "15 ppm/K of the reference by its data sheet, and as much for the instrument's last digit: "
     "our judgement"},
    {"bits of the converter that never change", 0, 0, "", 0, 10,
     "converters with dead low bits are sold: reports of users, read"},
    {"scatter of the readings", 0, 0.1, "mV", 3, 0, judgement},
}};
static_assert(table.back().what == "scatter of the readings", "one row for each Limit");

} // namespace

const LimitFacts& facts_of(Limit limit) {
    return table.at(static_cast<std::size_t>(limit));
}

bool Check::accepted() const {
    const LimitFacts& facts = facts_of(limit);
    return value >= facts.low && value <= facts.high;
}

bool all_accepted(const std::vector<Check>& checks) {
    return std::ranges::all_of(checks, &Check::accepted);
}

std::string to_text(const Check& check) {
    const LimitFacts& facts = facts_of(check.limit);
    const std::string unit = facts.unit.empty() ? "" : fmt::format(" {}", facts.unit);
    return fmt::format("{}{}: {:.{}f}{} ({} to {}{}): {}", facts.what,
                       check.at.empty() ? "" : " at " + check.at, check.value, facts.decimals, unit,
                       facts.low, facts.high, unit, check.accepted() ? "accepted" : "refused");
}

} // namespace quaycell
