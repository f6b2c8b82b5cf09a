#include "electrode/chloride.h"

#include "electrode/constants.h"
#include "electrode/limits.h"

#include <algorithm>

namespace quaycell {
namespace {

// Reference Composition sea water, salinity 35 (Millero et al. 2008).
constexpr double standard_salinity = 35;                 // [PSU]
constexpr double standard_salt_g_kg = 35.16504;          // [g salt/kg sea water]
constexpr double standard_chloride_molality = 0.5657647; // [mol/kg water]
constexpr double standard_ionic_strength = 0.7226301;    // [mol/kg water]

// Density of water and of sea water of salinity 35 at 25 degC, [kg/L]: UNESCO Tech. Pap. Mar.
// Sci. 44.
constexpr double fresh_density = 0.99704796;
constexpr double standard_density = 1.02334306;
constexpr double standard_water_kg_l = standard_density * (1 - standard_salt_g_kg / 1000);
constexpr double standard_chloride_mg_l =
    standard_chloride_molality * standard_water_kg_l * molar_mass_chlorine * 1000;

/// Grams of salt per gram of water, for `salt` in g per kg of solution.
constexpr double salt_per_water(double salt_g_kg) {
    return salt_g_kg / (1000 - salt_g_kg);
}

Chloride diluted(double share_of_standard) {
    return {standard_chloride_molality * share_of_standard,
            standard_ionic_strength * share_of_standard};
}

Result<ChlorideRange> both(Result<Chloride> low, Result<Chloride> high) {
    if (!low) return low.error();
    if (!high) return high.error();
    return ChlorideRange{*low, *high};
}

} // namespace

Result<Chloride> chloride_of_salinity(double salinity_psu) {
    const Result<double> salinity = within(salinity_limits, salinity_psu);
    if (!salinity) return salinity.error();
    return diluted(salt_per_water(salinity_psu * standard_salt_g_kg / standard_salinity) /
                   salt_per_water(standard_salt_g_kg));
}

Result<Chloride> chloride_of_concentration(double chloride_mg_l) {
    const Result<double> chloride = within(chloride_limits, chloride_mg_l);
    if (!chloride) return chloride.error();
    const double water_kg_l = fresh_density + (standard_water_kg_l - fresh_density) *
                                                  chloride_mg_l / standard_chloride_mg_l;
    const double molality = chloride_mg_l / (1000 * molar_mass_chlorine * water_kg_l);
    return diluted(molality / standard_chloride_molality);
}

Result<Chloride> chloride_of(const Water& water) {
    return water.chloride_mg_l ? chloride_of_concentration(water.chloride_mg_l->middle())
                               : chloride_of_salinity(water.salinity_psu.middle());
}

Result<ChlorideRange> chloride_range_of(const Water& water) {
    if (water.chloride_mg_l)
        return both(chloride_of_concentration(water.chloride_mg_l->low),
                    chloride_of_concentration(water.chloride_mg_l->high));
    return both(chloride_of_salinity(water.salinity_psu.low),
                chloride_of_salinity(water.salinity_psu.high));
}

double salinity_of(const Chloride& chloride) {
    const double ratio =
        salt_per_water(standard_salt_g_kg) * chloride.molality / standard_chloride_molality;
    const double salt_g_kg = 1000 * ratio / (1 + ratio);
    return std::max(salt_g_kg * standard_salinity / standard_salt_g_kg, salinity_limits.low);
}

Result<Range> salinity_range_of(const Water& water) {
    const Result<ChlorideRange> range = chloride_range_of(water);
    if (!range) return range.error();
    if (!water.chloride_mg_l) return water.salinity_psu;
    return Range{salinity_of(range->low), salinity_of(range->high)};
}

} // namespace quaycell
