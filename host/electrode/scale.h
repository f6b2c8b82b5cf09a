// Reference scales: what a potential is measured against.
#pragma once

#include "base/result.h"
#include "electrode/open_element.h"
#include "electrode/water.h"

#include <span>
#include <string_view>

namespace quaycell {

enum class Scale {
    she,
    agcl_open,     ///< bare element in the local water
    agcl_seawater, ///< the same element in standard seawater, S = 35: what marine criteria use
    agcl_kcl_0_1,
    agcl_kcl_1,
    agcl_kcl_3,
    agcl_kcl_3_5,
    agcl_kcl_sat,
    sce,
    cse,
    zinc,
};

/// What is known of a scale. Slopes are isothermal: electrode and SHE at the same temperature.
struct ScaleFacts {
    Scale scale;
    std::string_view name;          ///< "agcl/seawater"
    std::string_view description;   ///< in plain words
    double at_25c_mv;               ///< against SHE at 25 degC, [mV]
    double slope_mv_per_k;          ///< d/dT at 25 degC, [mV/K]
    double curvature_mv_per_k2;     ///< half of the second derivative, 0 where none is known
    double standard_uncertainty_mv; ///< k = 1, [mV]
    double handbook_mv;             ///< rounded constant of the standards, else at_25c_mv
    std::string_view source;
    std::string_view status; ///< "read", "transcribed", "from memory", "computed", ...
};

inline constexpr double reference_temperature_c = 25; ///< of ScaleFacts
inline constexpr double standard_seawater_psu = 35;

std::span<const ScaleFacts> all_scales();
const ScaleFacts& facts_of(Scale scale);
std::string_view name_of(Scale scale);

/// The scale of that name, in any case, or an error that lists the valid names.
Result<Scale> scale_named(std::string_view name);

enum class Constants {
    computed, ///< equations, isothermal: every reference at the water's own temperature
    handbook, ///< the rounded constants that the standards print, the same at any temperature
};

/// Potential of a scale's reference against SHE at the same temperature, [mV]. For agcl_open at the
/// middle of the water's salinity or chloride. `activity` moves the two elements in sea water, by
/// either kind of constants. Out of range is an error that names the range.
Result<double> reference_vs_she_mv(Scale scale, const Water& water,
                                   Constants constants = Constants::computed,
                                   ChlorideActivity activity = ChlorideActivity::macinnes);

/// Isothermal slope of the computed potential in this water, [mV/K].
Result<double> slope_mv_per_k(Scale scale, const Water& water,
                              ChlorideActivity activity = ChlorideActivity::macinnes);

/// What the hydrogen electrode itself moves by when it is warmed and the one it is held against is
/// not, [mV/K]: deBethune 1959, from memory. Added to an isothermal slope it gives the thermal one,
/// of one warmed cell against another at 25 degC: the +0.9 mV/K that handbooks print for cse is of
/// that kind and has no place in a conversion, where all is at one temperature.
inline constexpr double hydrogen_thermal_slope_mv_per_k = 0.871;

/// Scale conversion: what `potential_mv`, read against `from`, would read against `to`, all at the
/// water's temperature. Not for the limits of criteria: the standards print a limit for each scale
/// with roundings of their own.
Result<double> convert_mv(double potential_mv, Scale from, Scale to, const Water& water,
                          Constants constants = Constants::computed,
                          ChlorideActivity activity = ChlorideActivity::macinnes);

/// Criterion normalisation: what is added to a reading against an open element in `water` to put it
/// on agcl/seawater, both at the water's temperature, [mV]. The standards use their limits at any
/// temperature, so that none is corrected for.
Result<double> chloride_correction_mv(const Water& water,
                                      ChlorideActivity activity = ChlorideActivity::macinnes);

} // namespace quaycell
