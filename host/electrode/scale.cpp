#include "electrode/scale.h"

#include "electrode/chloride.h"
#include "electrode/limits.h"
#include "electrode/open_element.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace quaycell {
namespace {

constexpr std::string_view element_source =
    "Bates and Bower 1954, Pitzer activities (Greenberg and Moeller 1989); standards' constant: EN "
    "12473";

// One row per Scale, in its order. Where the standards print no constant of a scale, its value at
// 25 degC stands in for it. The published cubic term of sce, 0.02 mV at most, is left out.
constexpr std::array<ScaleFacts, 11> scales{{
    {Scale::she, "she", "standard hydrogen electrode at the water's temperature", 0, 0, 0, 0, 0,
     "definition", "definition"},
    {Scale::agcl_open, "agcl/open",
     "bare silver/silver-chloride element in the local water; the figures are for salinity 35",
     249.13, -0.563, 0, 3, 250, element_source, "computed; standards' constant from memory"},
    {Scale::agcl_seawater, "agcl/seawater",
     "silver/silver-chloride in standard sea water, salinity 35: the scale of marine criteria",
     249.13, -0.563, 0, 3, 250, element_source, "computed; standards' constant from memory"},
    {Scale::agcl_kcl_0_1, "agcl/kcl-0.1", "silver/silver-chloride in 0.1 mol/L potassium chloride",
     288, -0.42, 0, 1, 288, "Meites 1963; Szabo and Bakos 2010, Int. J. Corros. 756950, Table 2",
     "read; slope computed"},
    {Scale::agcl_kcl_1, "agcl/kcl-1", "silver/silver-chloride in 1 mol/L potassium chloride", 235,
     -0.62, 0, 2, 235, "Szabo and Bakos 2010, Int. J. Corros. 756950, Table 2",
     "read; slope computed"},
    {Scale::agcl_kcl_3, "agcl/kcl-3", "silver/silver-chloride in 3 mol/L potassium chloride", 208,
     -0.75, 0, 2, 208, "Droog and Schlenter 1980, doi 10.1016/S0022-0728(80)80421-9",
     "read; slope computed"},
    {Scale::agcl_kcl_3_5, "agcl/kcl-3.5",
     "silver/silver-chloride in 3.5 mol/L potassium chloride, liquid junction included", 205, -0.75,
     0, 2, 205, "Sawyer; Bates", "transcribed"},
    {Scale::agcl_kcl_sat, "agcl/kcl-sat", "silver/silver-chloride in saturated potassium chloride",
     197, -1.0, 0, 2, 200,
     "Bard and Faulkner 2000; slope: Sawyer, Bates; standards' constant: EN 12473",
     "read; standards' constant from memory"},
    {Scale::sce, "sce", "saturated calomel electrode", 241.2, -0.661, -1.75e-3, 2, 250,
     "Bard and Faulkner 2000; standards' constant: EN 12473",
     "read; standards' constant from memory"},
    {Scale::cse, "cse", "copper/saturated copper sulphate electrode", 316, 0.03, 0, 5, 320,
     "Szabo and Bakos 2010, Int. J. Corros. 756950, Table 2; slope: Ewing 1939 less the hydrogen "
     "electrode's own (deBethune 1959); standards' constant: EN 12473",
     "read; slope and standards' constant from memory"},
    {Scale::zinc, "zinc", "zinc in sea water", -780, 0, 0, 25, -780,
     "trade page on immersed structures", "read, weak"},
}};

constexpr bool in_order() {
    for (std::size_t i = 0; i < scales.size(); ++i)
        if (static_cast<std::size_t>(scales[i].scale) != i) return false;
    return true;
}
static_assert(in_order());

char lower_case(char c) {
    return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

Result<double> seawater_element_mv(double temperature_c, ChlorideActivity activity) {
    return open_element_vs_she_mv(*chloride_of_salinity(standard_seawater_psu), temperature_c,
                                  activity);
}

Result<double> open_element_in_mv(const Water& water, ChlorideActivity activity) {
    const Result<Chloride> chloride = chloride_of(water);
    if (!chloride) return chloride.error();
    return open_element_vs_she_mv(*chloride, water.temperature_c, activity);
}

} // namespace

std::span<const ScaleFacts> all_scales() {
    return scales;
}

const ScaleFacts& facts_of(Scale scale) {
    return scales.at(static_cast<std::size_t>(scale));
}

std::string_view name_of(Scale scale) {
    return facts_of(scale).name;
}

Result<Scale> scale_named(std::string_view name) {
    std::vector<std::string_view> names;
    for (const ScaleFacts& facts : scales) {
        if (std::ranges::equal(facts.name, name, {}, {}, lower_case)) return facts.scale;
        names.push_back(facts.name);
    }
    return Error{ErrorCode::wrong_usage, fmt::format("there is no reference scale \"{}\"", name),
                 "", fmt::format("Use one of: {}", fmt::join(names, ", "))};
}

Result<double> reference_vs_she_mv(Scale scale, const Water& water, Constants constants,
                                   ChlorideActivity activity) {
    if (const Result<Done> checked = check_water(water); !checked) return checked.error();
    const ScaleFacts& facts = facts_of(scale);
    if (constants == Constants::handbook) {
        if (scale != Scale::agcl_open) return facts.handbook_mv;
        // The standards give the bare element in sea water and ask for the chloride correction.
        const Result<double> correction = chloride_correction_mv(water, activity);
        if (!correction) return correction.error();
        return facts.handbook_mv + *correction;
    }
    if (scale == Scale::agcl_open) return open_element_in_mv(water, activity);
    if (scale == Scale::agcl_seawater) return seawater_element_mv(water.temperature_c, activity);
    const double d = water.temperature_c - reference_temperature_c;
    return facts.at_25c_mv + d * (facts.slope_mv_per_k + d * facts.curvature_mv_per_k2);
}

Result<double> slope_mv_per_k(Scale scale, const Water& water, ChlorideActivity activity) {
    if (const Result<Done> checked = check_water(water); !checked) return checked.error();
    constexpr double step_k = 0.5; // the curvature of any scale is lost in it
    Water colder = water;
    Water warmer = water;
    colder.temperature_c = std::max(water.temperature_c - step_k, water_temperature_limits.low);
    warmer.temperature_c = std::min(water.temperature_c + step_k, water_temperature_limits.high);
    return (*reference_vs_she_mv(scale, warmer, Constants::computed, activity) -
            *reference_vs_she_mv(scale, colder, Constants::computed, activity)) /
           (warmer.temperature_c - colder.temperature_c);
}

Result<double> convert_mv(double potential_mv, Scale from, Scale to, const Water& water,
                          Constants constants, ChlorideActivity activity) {
    if (!std::isfinite(potential_mv))
        return Error{ErrorCode::out_of_range, "the potential is not a number", "", "Give it in mV"};
    const Result<double> from_mv = reference_vs_she_mv(from, water, constants, activity);
    if (!from_mv) return from_mv.error();
    const Result<double> to_mv = reference_vs_she_mv(to, water, constants, activity);
    if (!to_mv) return to_mv.error();
    return potential_mv + *from_mv - *to_mv;
}

Result<double> chloride_correction_mv(const Water& water, ChlorideActivity activity) {
    if (const Result<Done> checked = check_water(water); !checked) return checked.error();
    const Result<double> here_mv = open_element_in_mv(water, activity);
    if (!here_mv) return here_mv.error();
    const Result<double> standard_mv = seawater_element_mv(water.temperature_c, activity);
    if (!standard_mv) return standard_mv.error();
    return *here_mv - *standard_mv;
}

} // namespace quaycell
