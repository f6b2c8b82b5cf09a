// How much anode: mass, number, current and life.
#pragma once

#include "anode/demand.h"
#include "anode/resistance.h"

#include <optional>

namespace quaycell {

/// Hours of a year, as the codes count them.
inline constexpr double hours_a_year = 8760;

/// What the metal takes in all, [A].
struct CurrentDemand {
    Range initial;
    Range mean;
    Range final;
};

/// Of an area with a current density where it is bare.
CurrentDemand demand_of(Range area_m2, Range density_ma_m2, const BareShare& bare);

/// An error (wrong_input) where so much does not fit into a volume: more than a tenth above it, for
/// anodes are measured roughly.
std::optional<Error> too_heavy_for(double volume_m3, double mass_kg, double density_kg_m3);

/// Share of an anode's mass that is used before what is left no longer serves: DNV-RP-B401 T8-8,
/// transcribed.
double utilisation_of(ResistanceForm form);

/// One anode and what it is to be used for.
struct AnodeUse {
    double years;
    Range capacity_ah_kg;
    double utilisation; ///< 0 to 1
    double mass_kg;     ///< of the alloy, without its core
    double density_kg_m3;
    AnodeShape shape;
    Range resistivity_ohm_m;
    Range driving_mv; ///< between the anode at work and the metal as it is to be, above zero
};

/// What comes of it; each amount as exact as what went in.
struct Sizing {
    CurrentDemand current_a;
    Range mass_kg;        ///< that the mean current uses up, over the usable share
    Range resistance_ohm; ///< of one anode, new
    Range spent_resistance_ohm;
    Range anode_current_a; ///< of one anode, new
    Range spent_anode_current_a;
    Range count_by_mass;
    Range count_by_initial_current;
    Range count_by_final_current;
    Range needed; ///< the greatest of the three, rounded up
    /// That the greater number of those needed lasts at the mean current. [years]
    Range life_years;
    /// The same for who renews them when so much of each is gone as usually_renewed_at_gone says,
    /// which is less than the usable share: how long that number lasts, and how many of them serve
    /// for the years.
    Range life_to_renewal_years;
    Range needed_to_renewal;
};

/// Error (wrong_input): an amount that cannot be, or a mass that its outer measures cannot hold.
Result<Sizing> size_anodes(const CurrentDemand& demand, const AnodeUse& use);

/// M = I t 8760 / (u e) (DNV-RP-B401, transcribed), [kg].
Range mass_for(Range mean_a, double years, Range capacity_ah_kg, double utilisation);

} // namespace quaycell
