#include "electrode/budget.h"

#include "electrode/chloride.h"
#include "electrode/limits.h"
#include "electrode/salinity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {
namespace {

/// Standard uncertainty of a value known to lie within +-half_width_mv and nothing more.
double uniform_mv(double half_width_mv) {
    return half_width_mv / std::sqrt(3.0);
}

// Half widths in [mV]: our judgement, after the practice of surveys.
constexpr double cell_checked_mv = 5;
constexpr double cell_unchecked_mv = 10;
constexpr double known_salinity_mv = 5;    // composition, and ageing of a bare element
constexpr double assumed_salinity_mv = 15; // a harbour of which nobody said anything
constexpr double temperature_mv = 1;
constexpr double electronics_mv = 2;
constexpr double contact_mv = 1;
constexpr double repeatability_mv = 3; // standard deviation, not a half width
constexpr double ohmic_drop_mv = 4;    // in sea water of salinity 35 at 15 degC

constexpr std::string_view voltage_drop = "voltage drop in the water";

constexpr double hardly_known_mv = 100; // no band of a criterion is that much wider: our judgement

/// Henderson potential left at a saturated KCl bridge, by salinity: computed; sign dropped because
/// the bridges of the other cells differ from it.
struct JunctionResidual {
    double salinity_psu;
    double residual_mv;
};
constexpr std::array junction_residuals{JunctionResidual{0.1, 3.9}, JunctionResidual{1, 2.7},
                                        JunctionResidual{10, 1.0}, JunctionResidual{35, 0.5}};

double junction_mv(double salinity_psu) {
    const auto above =
        std::find_if(junction_residuals.begin(), junction_residuals.end(),
                     [&](const JunctionResidual& row) { return row.salinity_psu >= salinity_psu; });
    if (above == junction_residuals.begin()) return above->residual_mv;
    if (above == junction_residuals.end()) return junction_residuals.back().residual_mv;
    const auto below = above - 1;
    const double share = std::log(salinity_psu / below->salinity_psu) /
                         std::log(above->salinity_psu / below->salinity_psu);
    return std::lerp(below->residual_mv, above->residual_mv, share);
}

bool has_salt_bridge(Scale scale) {
    switch (scale) {
    case Scale::agcl_kcl_0_1:
    case Scale::agcl_kcl_1:
    case Scale::agcl_kcl_3:
    case Scale::agcl_kcl_3_5:
    case Scale::agcl_kcl_sat:
    case Scale::sce:
    case Scale::cse:
        return true;
    default:
        return false;
    }
}

bool is_water_element(Scale scale) {
    return scale == Scale::agcl_open || scale == Scale::agcl_seawater;
}

Water with_chloride_at(const Water& water, double Range::*end) {
    Water edge = water;
    edge.salinity_psu = {water.salinity_psu.*end, water.salinity_psu.*end};
    if (water.chloride_mg_l)
        edge.chloride_mg_l = Range{(*water.chloride_mg_l).*end, (*water.chloride_mg_l).*end};
    return edge;
}

/// How far the chloride correction may lie from that of the middle of the water's range.
double salinity_spread_mv(const Water& water) {
    const double middle_mv = *chloride_correction_mv(water);
    const double low_mv = *chloride_correction_mv(with_chloride_at(water, &Range::low));
    const double high_mv = *chloride_correction_mv(with_chloride_at(water, &Range::high));
    return std::max(std::abs(low_mv - middle_mv), std::abs(high_mv - middle_mv));
}

BudgetLine salinity_line(const Water& water) {
    const double least_mv = water.salinity_assumed ? assumed_salinity_mv : known_salinity_mv;
    return {
        "salinity of the water", uniform_mv(std::max(salinity_spread_mv(water), least_mv)),
        fmt::format("chloride model over the water's range, at least +-{} mV, uniform (computed; "
                    "least value our judgement)",
                    least_mv),
        true};
}

BudgetLine scale_line(Scale scale) {
    const ScaleFacts& facts = facts_of(scale);
    return {fmt::format("potential of the scale {}", facts.name), facts.standard_uncertainty_mv,
            fmt::format("scatter of published values: {} (our judgement)", facts.source), true};
}

BudgetLine junction_line(double salinity_psu) {
    return {"liquid junction of the cell", junction_mv(salinity_psu),
            "Henderson residual of a saturated KCl bridge (computed)", true};
}

/// Where the resistance of the water and the junction of a salt bridge are largest, [PSU].
double freshest_psu(const Water& water) {
    return salinity_range_of(water).value().low;
}

/// The scales' own uncertainty and their junctions, for those that are not the water's own element.
void add_scales(Budget& budget, Scale from, Scale to, const Water& water) {
    if (is_water_element(from) && is_water_element(to)) return;
    const double salinity_psu = freshest_psu(water);
    for (const Scale scale : {from, to}) {
        if (facts_of(scale).standard_uncertainty_mv > 0) budget.lines.push_back(scale_line(scale));
        if (has_salt_bridge(scale)) budget.lines.push_back(junction_line(salinity_psu));
    }
}

} // namespace

double Budget::expanded_mv() const {
    double variance = 0;
    for (const BudgetLine& line : lines)
        variance += line.standard_mv * line.standard_mv;
    return coverage_factor * std::sqrt(variance);
}

double Budget::change_expanded_mv() const {
    double variance = 0;
    for (const BudgetLine& line : lines)
        if (!line.systematic || line.name == voltage_drop)
            variance += (line.systematic ? 1 : 2) * line.standard_mv * line.standard_mv;
    return coverage_factor * std::sqrt(variance);
}

std::string uncertainty_text(double expanded_mv) {
    return expanded_mv > hardly_known_mv
               ? fmt::format("hardly known, perhaps within {:.1g} V (k = 2)", expanded_mv / 1000)
               : fmt::format("within {:.1f} mV (k = 2)", expanded_mv);
}

Result<Budget> reading_budget(Scale reading_scale, const Water& water, CellCheck check) {
    if (const Result<Done> known = check_water(water); !known) return known.error();
    const bool checked = check == CellCheck::same_day;
    const double resistivity_ratio =
        *resistivity_ohm_m(freshest_psu(water), water.temperature_c) / *resistivity_ohm_m(35, 15);
    const double cell_mv = checked ? cell_checked_mv : cell_unchecked_mv;
    Budget budget{{
        {"cell", uniform_mv(cell_mv),
         fmt::format("+-{} mV, {}, uniform (common practice, no source)", cell_mv,
                     checked ? "checked the same day" : "not checked"),
         true},
        {"water temperature", uniform_mv(temperature_mv),
         fmt::format("+-{} mV, uniform (our judgement)", temperature_mv), true},
        {"electronics", uniform_mv(electronics_mv),
         fmt::format("+-{} mV, uniform (our judgement)", electronics_mv), true},
        {"contact", uniform_mv(contact_mv),
         fmt::format("+-{} mV, uniform (our judgement)", contact_mv), false},
        {std::string(voltage_drop), uniform_mv(ohmic_drop_mv * resistivity_ratio),
         fmt::format(
             "+-{} mV in sea water of salinity 35 at 15 degC, in proportion to resistivity, "
             "uniform (our judgement)",
             ohmic_drop_mv),
         true},
        {"repeatability", repeatability_mv, "standard deviation (our judgement)", false},
    }};
    if (reading_scale == Scale::agcl_open) budget.lines.push_back(salinity_line(water));
    add_scales(budget, reading_scale, Scale::agcl_seawater, water);
    return budget;
}

Result<Budget> conversion_budget(Scale from, Scale to, const Water& water) {
    if (const Result<Done> checked = check_water(water); !checked) return checked.error();
    Budget budget;
    if (from == to) return budget;
    if (from == Scale::agcl_open || to == Scale::agcl_open)
        budget.lines.push_back(salinity_line(water));
    const double kelvin_mv = std::abs(facts_of(from).slope_mv_per_k - facts_of(to).slope_mv_per_k);
    budget.lines.push_back(
        {"water temperature", uniform_mv(kelvin_mv),
         "+-1 K through the difference of the scales' slopes, uniform (our judgement)", true});
    add_scales(budget, from, to, water);
    return budget;
}

} // namespace quaycell
