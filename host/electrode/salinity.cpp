#include "electrode/salinity.h"

#include "electrode/limits.h"

#include <array>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <optional>
#include <string>
#include <utility>

namespace quaycell {
namespace {

constexpr std::array a{0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081};
constexpr std::array b{0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144};
constexpr std::array c{0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9};
constexpr std::array d{3.426e-2, 4.464e-4, 4.215e-1, -3.107e-3};
constexpr std::array e{2.070e-5, -6.370e-10, 3.989e-15};
constexpr double k = 0.0162;
constexpr double hill_from_psu = 2; // below this Hill's extension counts

template <std::size_t N>
constexpr double polynomial(const std::array<double, N>& coefficients, double x) {
    double sum = 0;
    for (std::size_t i = N; i-- > 0;)
        sum = sum * x + coefficients[i];
    return sum;
}

template <std::size_t N>
constexpr double slope_of(const std::array<double, N>& coefficients, double x) {
    double sum = 0;
    for (std::size_t i = N; i-- > 1;)
        sum = sum * x + static_cast<double>(i) * coefficients[i];
    return sum;
}

/// The scale was laid down on the temperature scale of 1968.
constexpr double on_ipts_68(double temperature_c) {
    return 1.00024 * temperature_c;
}

double temperature_factor(double t68) {
    return (t68 - 15) / (1 + k * (t68 - 15));
}

/// The polynomials of 1978 in the square root of the ratio at the same temperature.
double pss_78(double root, double factor) {
    return polynomial(a, root) + factor * polynomial(b, root);
}

double hill_raw(double root, double factor) {
    const double x = 400 * root * root;
    const double y = 10 * root;
    return pss_78(root, factor) - a[0] / (1 + x * (1.5 + x)) -
           b[0] * factor / (1 + y * (1 + y * (1 + y)));
}

/// What makes Hill's extension meet the scale at 2 PSU, where at some temperatures it would step.
double hill_ratio(double factor) {
    double root = 0.24; // close to the answer at every temperature
    for (int i = 0; i < 8; ++i)
        root -= (pss_78(root, factor) - hill_from_psu) /
                (slope_of(a, root) + factor * slope_of(b, root));
    return hill_from_psu / hill_raw(root, factor);
}

double surface_salinity(double conductivity_ms_cm, double temperature_c) {
    return practical_salinity(conductivity_ms_cm / standard_conductivity_ms_cm, temperature_c, 0);
}

/// The salinity, or nothing where it is none of salinity_limits. A temperature out of its limits is
/// an error.
Result<std::optional<double>> salinity_in_limits(double conductivity_ms_cm, double temperature_c) {
    const Result<double> temperature = within(water_temperature_limits, temperature_c);
    if (!temperature) return temperature.error();
    std::optional<double> salinity;
    if (conductivity_ms_cm > 0) {
        const double psu = surface_salinity(conductivity_ms_cm, temperature_c);
        if (within(salinity_limits, psu)) salinity = psu;
    }
    return salinity;
}

Error belongs_to_no_salinity(const std::string& what, std::string remedy) {
    return {ErrorCode::out_of_range,
            fmt::format("{} belongs to no salinity of {} to {} PSU", what, salinity_limits.low,
                        salinity_limits.high),
            "", std::move(remedy)};
}

constexpr double ms_cm_times_ohm_m = 10; // 1 mS/cm = 0.1 S/m

} // namespace

double practical_salinity(double conductivity_ratio, double temperature_c, double pressure_dbar) {
    const double t68 = on_ipts_68(temperature_c);
    const double pressure_ratio =
        1 + pressure_dbar * polynomial(e, pressure_dbar) /
                (1 + t68 * (d[0] + t68 * d[1]) + (d[2] + t68 * d[3]) * conductivity_ratio);
    const double root = std::sqrt(conductivity_ratio / (pressure_ratio * polynomial(c, t68)));
    const double factor = temperature_factor(t68);
    const double salinity = pss_78(root, factor);
    return salinity < hill_from_psu ? hill_ratio(factor) * hill_raw(root, factor) : salinity;
}

Result<double> salinity_from_conductivity(double conductivity_ms_cm, double temperature_c) {
    const auto salinity = salinity_in_limits(conductivity_ms_cm, temperature_c);
    if (!salinity) return salinity.error();
    if (*salinity) return **salinity;
    return belongs_to_no_salinity(
        fmt::format("conductivity {} mS/cm at {} degC", conductivity_ms_cm, temperature_c),
        "Give the conductivity in mS/cm (1 mS/cm = 1000 uS/cm)");
}

Result<double> salinity_from_resistivity(double resistivity_ohm_m, double temperature_c) {
    const auto salinity = salinity_in_limits(ms_cm_times_ohm_m / resistivity_ohm_m, temperature_c);
    if (!salinity) return salinity.error();
    if (*salinity) return **salinity;
    return belongs_to_no_salinity(
        fmt::format("resistivity {} ohm m at {} degC", resistivity_ohm_m, temperature_c),
        "Give the resistivity in ohm m (1 ohm m = 100 ohm cm)");
}

Result<double> salinity_from_conductivity_25(double conductivity_25_ms_cm) {
    return salinity_from_conductivity(conductivity_25_ms_cm, 25);
}

Result<double> conductivity_from_salinity(double salinity_psu, double temperature_c) {
    const Result<double> salinity = within(salinity_limits, salinity_psu);
    if (!salinity) return salinity.error();
    const Result<double> temperature = within(water_temperature_limits, temperature_c);
    if (!temperature) return temperature.error();
    // Salinity is nearly straight in conductivity: Newton with a small step for the slope is done
    // in a handful of rounds.
    double conductivity = standard_conductivity_ms_cm * salinity_psu / 35;
    for (int i = 0; i < 30; ++i) {
        const double missing = salinity_psu - surface_salinity(conductivity, temperature_c);
        const double step = 1e-6 * conductivity;
        const double slope = (surface_salinity(conductivity + step, temperature_c) -
                              surface_salinity(conductivity - step, temperature_c)) /
                             (2 * step);
        conductivity += missing / slope;
        if (std::abs(missing) < 1e-12 * salinity_psu) break;
    }
    return conductivity;
}

Result<double> resistivity_ohm_m(double salinity_psu, double temperature_c) {
    const Result<double> conductivity = conductivity_from_salinity(salinity_psu, temperature_c);
    if (!conductivity) return conductivity.error();
    return ms_cm_times_ohm_m / *conductivity;
}

} // namespace quaycell
