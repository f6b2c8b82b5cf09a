// Practical salinity and conductivity, PSS-78 with its low-salinity extension, at the surface.
#pragma once

#include "base/result.h"

namespace quaycell {

/// PSS-78 with Hill's 1986 extension below 2 PSU, made continuous there as TEOS-10 does.
/// `conductivity_ratio` is C / C(35, 15 degC IPTS-68, 0), temperature on ITS-90. The program works
/// at the surface; the pressure term is here so that the published check values apply. Sources:
/// UNESCO Tech. Pap. Mar. Sci. 44 (1983); Hill et al. 1986, IEEE J. Oceanic Eng. 11:109; TEOS-10.
/// Coefficients read. Valid for 0 to 42 PSU, -2 to 40 degC.
double practical_salinity(double conductivity_ratio, double temperature_c, double pressure_dbar);

/// Conductivity of standard sea water at 15 degC IPTS-68, [mS/cm]: Culkin and Smith 1980, read.
inline constexpr double standard_conductivity_ms_cm = 42.914;

/// Salinity [PSU] from the conductivity at the water's temperature [mS/cm]. A conductivity that is
/// not one of salinity_limits is an error.
Result<double> salinity_from_conductivity(double conductivity_ms_cm, double temperature_c);

/// Salinity [PSU] from a conductivity as most hand meters show it, compensated to 25 degC [mS/cm].
Result<double> salinity_from_conductivity_25(double conductivity_25_ms_cm);

/// Salinity [PSU] from the resistivity at the water's temperature, [ohm m].
Result<double> salinity_from_resistivity(double resistivity_ohm_m, double temperature_c);

/// The inverse of salinity_from_conductivity: conductivity [mS/cm] at the water's temperature.
Result<double> conductivity_from_salinity(double salinity_psu, double temperature_c);

/// Resistivity of the water, [ohm m].
Result<double> resistivity_ohm_m(double salinity_psu, double temperature_c);

} // namespace quaycell
