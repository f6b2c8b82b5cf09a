// How much current immersed metal takes: areas, current densities, breakdown of coatings.
#pragma once

#include "base/range.h"
#include "base/result.h"

#include <span>
#include <string_view>

namespace quaycell {

/// How the water moves past the metal.
struct FlowDensity {
    std::string_view flow; ///< "tidal"
    std::string_view says;
    Range bare_ma_m2;
    Range coated_ma_m2; ///< of a sound coating, by the whole area
};

/// ABS Guidance Notes on Cathodic Protection of Ships (2017), section 2, table 3; transcribed.
/// Steel in sea water.
std::span<const FlowDensity> flow_densities();
Result<FlowDensity> flow_density_named(std::string_view flow);

/// Of bare propellers at least, [mA/m2]; the same table.
inline constexpr double propeller_ma_m2 = 500;

/// Of a coated hull by the whole area, [mA/m2], for the months between two dockings; the same
/// Guidance Notes, table 5, transcribed. Error (out_of_range): not 1 to 60 months.
Result<Range> docking_density_ma_m2(double months);

/// Share of a coated area that is bare when new, and what is added every year.
struct CoatingBreakdown {
    std::string_view durability; ///< "medium"
    Range at_start;
    Range each_year;
};

/// The same Guidance Notes, table 4, transcribed.
std::span<const CoatingBreakdown> coating_breakdowns();
Result<CoatingBreakdown> coating_breakdown_named(std::string_view durability);

/// Shares bare at the beginning, on average over the years, and at the end; none over 1.
struct BareShare {
    Range initial{1, 1};
    Range mean{1, 1};
    Range final{1, 1};
};

/// a, a + b t/2 and a + b t (DNV-RP-B401, excerpt, transcribed), for a coating that is
/// `coating_age_years` old at the beginning.
BareShare bare_share(const CoatingBreakdown& breakdown, double coating_age_years, double years);

/// Outer measures of a hull in the water, [m].
struct HullMeasures {
    double waterline_m;
    double beam_m;
    double draught_m;
};

/// Form of a hull, by which share of length times beam and draught is wetted.
struct HullForm {
    std::string_view name; ///< "full"
    std::string_view says;
    double share;
};

/// A rule of thumb, from memory.
std::span<const HullForm> hull_forms();
Result<HullForm> hull_form_named(std::string_view name);

/// L (B + D) times the share of the form, [m2].
double wetted_area_m2(const HullMeasures& hull, const HullForm& form);

} // namespace quaycell
