#include "anode/sizing.h"

#include "anode/amounts.h"
#include "anode/wear.h"
#include "base/rounding.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <initializer_list>
#include <numbers>
#include <string_view>

namespace quaycell {

namespace {

Error impossible(std::string_view what, double value, std::string_view unit) {
    return {ErrorCode::wrong_input, fmt::format("{} of {:g}{} cannot be", what, value, unit), "",
            "Give a number above zero"};
}

struct Amount {
    std::string_view what;
    double least;
    double most;
    std::string_view unit;
};

std::optional<Error> what_cannot_be(const CurrentDemand& demand, const AnodeUse& use) {
    const Amount amounts[] = {
        {"a current", std::min({demand.initial.low, demand.mean.low, demand.final.low}),
         std::max({demand.initial.high, demand.mean.high, demand.final.high}), " A"},
        {"a time", use.years, use.years, " years"},
        {"a capacity", use.capacity_ah_kg.low, use.capacity_ah_kg.high, " Ah/kg"},
        {"a utilisation", use.utilisation, use.utilisation, ""},
        {"a mass", use.mass_kg, use.mass_kg, " kg"},
        {"a length", use.shape.length_m, use.shape.length_m, " m"},
        {"a width", use.shape.width_m, use.shape.width_m, " m"},
        {"a thickness", use.shape.thickness_m.value_or(1), use.shape.thickness_m.value_or(1), " m"},
        {"a resistivity", use.resistivity_ohm_m.low, use.resistivity_ohm_m.high, " ohm m"},
        {"a driving voltage", use.driving_mv.low, use.driving_mv.high, " mV"}};
    for (const Amount& each : amounts) {
        if (!(each.least > 0)) return impossible(each.what, each.least, each.unit);
        if (!std::isfinite(each.most)) return impossible(each.what, each.most, each.unit);
    }
    if (use.utilisation > 1)
        return Error{
            ErrorCode::wrong_input,
            fmt::format("a utilisation of {:g} is more than the whole anode", use.utilisation), "",
            "Give a share between 0 and 1"};
    return std::nullopt;
}

/// Of the box round a plate, or the bar: what no alloy of that density can exceed.
std::optional<Error> too_heavy(const AnodeUse& use) {
    const AnodeShape& shape = use.shape;
    if (!shape.thickness_m && shape.mounting != Mounting::stand_off) return std::nullopt;
    const double radius_m = equivalent_radius_m(shape);
    const double section_m2 = shape.thickness_m ? shape.width_m * *shape.thickness_m
                                                : std::numbers::pi * radius_m * radius_m;
    return too_heavy_for(section_m2 * shape.length_m, use.mass_kg, use.density_kg_m3);
}

Range current_a(Range driving_mv, Range resistance_ohm) {
    constexpr double mv_a_volt = 1000;
    return over(times(driving_mv, 1 / mv_a_volt), resistance_ohm);
}

Range greatest(std::initializer_list<Range> counts) {
    Range most{0, 0};
    for (const Range& each : counts)
        most = {std::max(most.low, each.low), std::max(most.high, each.high)};
    return most;
}

/// A count that is whole but for the rounding of the machine stays what it is.
double rounded_up(double count) {
    constexpr double rounding = 1e-9;
    return std::ceil(count * (1 - rounding));
}

} // namespace

std::optional<Error> too_heavy_for(double volume_m3, double mass_kg, double density_kg_m3) {
    const double most_kg = volume_m3 * density_kg_m3;
    constexpr double measured_roughly = 1.1;
    if (mass_kg <= most_kg * measured_roughly) return std::nullopt;
    return Error{ErrorCode::wrong_input,
                 fmt::format("{:g} kg do not fit into these measures, which hold {} kg at most",
                             mass_kg, significant_text(most_kg, 3)),
                 "", "Look at units, measures and alloy again"};
}

CurrentDemand demand_of(Range area_m2, Range density_ma_m2, const BareShare& bare) {
    constexpr double ma_an_ampere = 1000;
    const Range all_bare_a = times(times(area_m2, density_ma_m2), 1 / ma_an_ampere);
    return {times(all_bare_a, bare.initial), times(all_bare_a, bare.mean),
            times(all_bare_a, bare.final)};
}

double utilisation_of(ResistanceForm form) {
    // By the order of the enum.
    constexpr std::array shares{0.90, 0.85, 0.85, 0.80, 0.80};
    return shares.at(static_cast<std::size_t>(form));
}

Range mass_for(Range mean_a, double years, Range capacity_ah_kg, double utilisation) {
    return over(times(mean_a, years * hours_a_year / utilisation), capacity_ah_kg);
}

Result<Sizing> size_anodes(const CurrentDemand& demand, const AnodeUse& use) {
    if (auto error = what_cannot_be(demand, use)) return *error;
    if (auto error = too_heavy(use)) return *error;
    Sizing sizing;
    sizing.current_a = demand;
    sizing.mass_kg = mass_for(demand.mean, use.years, use.capacity_ah_kg, use.utilisation);
    const AnodeShape spent =
        spent_shape(use.shape, use.mass_kg * (1 - use.utilisation), use.density_kg_m3);
    sizing.resistance_ohm = times(use.resistivity_ohm_m, resistance_ohm(use.shape, 1));
    sizing.spent_resistance_ohm = times(use.resistivity_ohm_m, resistance_ohm(spent, 1));
    sizing.anode_current_a = current_a(use.driving_mv, sizing.resistance_ohm);
    sizing.spent_anode_current_a = current_a(use.driving_mv, sizing.spent_resistance_ohm);
    sizing.count_by_mass = times(sizing.mass_kg, 1 / use.mass_kg);
    sizing.count_by_initial_current = over(demand.initial, sizing.anode_current_a);
    sizing.count_by_final_current = over(demand.final, sizing.spent_anode_current_a);
    const Range most = greatest(
        {sizing.count_by_mass, sizing.count_by_initial_current, sizing.count_by_final_current});
    sizing.needed = {rounded_up(most.low), rounded_up(most.high)};
    const Range one_years =
        over(times(use.capacity_ah_kg, use.mass_kg * use.utilisation / hours_a_year), demand.mean);
    sizing.life_years = times(one_years, sizing.needed.high);
    const double part_used = std::min(usually_renewed_at_gone / use.utilisation, 1.0);
    sizing.life_to_renewal_years = times(sizing.life_years, part_used);
    const Range to_renewal =
        greatest({times(sizing.count_by_mass, 1 / part_used), sizing.count_by_initial_current,
                  sizing.count_by_final_current});
    sizing.needed_to_renewal = {rounded_up(to_renewal.low), rounded_up(to_renewal.high)};
    return sizing;
}

} // namespace quaycell
