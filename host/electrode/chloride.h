// How much chloride the element feels: from salinity, or from a chloride analysis.
#pragma once

#include "base/result.h"
#include "electrode/water.h"

namespace quaycell {

struct Chloride {
    double molality;       ///< [mol/kg water]
    double ionic_strength; ///< [mol/kg water]
};

/// Chloride of sea water diluted or evaporated to this practical salinity (salinity_limits).
/// Reference Composition, Millero et al. 2008, Deep-Sea Res. I 55:50.
Result<Chloride> chloride_of_salinity(double salinity_psu);

/// Chloride of water with this chloride content (chloride_limits), [mg/L]. The other salts are
/// taken in the proportion of sea water; the further ones of a river move the potential by 1 mV.
Result<Chloride> chloride_of_concentration(double chloride_mg_l);

/// Chloride in the middle of the water's chloride, where it is given, else of its salinity.
Result<Chloride> chloride_of(const Water& water);

/// The same at both ends: `low` and `high` as in the range that decides.
struct ChlorideRange {
    Chloride low;
    Chloride high;
};
Result<ChlorideRange> chloride_range_of(const Water& water);

/// Practical salinity of sea water with this much chloride, not below the range of salinity_limits:
/// fresh water carries other salts as well.
double salinity_of(const Chloride& chloride);

/// The salinity of the water: as given, or what its chloride stands for in diluted sea water.
Result<Range> salinity_range_of(const Water& water);

} // namespace quaycell
