#include "electrode/activity.h"

#include "electrode/constants.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace quaycell {
namespace {

/// a0 + a1 T + a2/T + a3 ln T + a4/(T - 263) + a5 T^2 + a6/(680 - T) + a7/(T - 227), T in kelvin.
/// The poles at 263 K and 227 K are harmless between -2 and 40 degC.
using Fit = std::array<double, 8>;

double at(const Fit& a, double temperature_c) {
    const double t = kelvin(temperature_c);
    return a[0] + a[1] * t + a[2] / t + a[3] * std::log(t) + a[4] / (t - 263) + a[5] * t * t +
           a[6] / (680 - t) + a[7] / (t - 227);
}

constexpr Fit a_phi{3.36901532e-1, -6.32100430e-4, 9.14252359, -1.35143986e-2,
                    2.26089488e-3, 1.92118597e-6,  45.2586464, 0};

struct SaltFits {
    Fit beta0;
    Fit beta1;
    Fit c_phi;
};

constexpr std::array<SaltFits, 2> salt_fits{{
    // sodium chloride
    {{14.3783204, 5.60767406e-3, -422.185236, -2.51226677, 0, -2.61718135e-6, 4.43854508,
      -1.70502337},
     {-0.483060685, 1.40677479e-3, 119.311989, 0, 0, 0, 0, -4.23433299},
     {-0.100588714, -1.80529413e-5, 8.61185543, 1.24880954e-2, 0, 3.41172108e-8, 6.83040995e-2,
      0.293922611}},
    // potassium chloride
    {{26.7375563, 1.00721050e-2, -758.485453, -4.70624175, 0, -3.75994338e-6, 0, 0},
     {-7.41559626, 0, 322.892989, 1.16438557, 0, 0, 0, -5.94578140},
     {-3.30531334, -1.29807848e-3, 91.2712100, 0.586450181, 0, 4.95713573e-7, 0, 0}},
}};

} // namespace

double debye_hueckel_slope(double temperature_c) {
    return at(a_phi, temperature_c);
}

PitzerParameters pitzer_parameters(Salt salt, double temperature_c) {
    const SaltFits& fits = salt_fits[static_cast<std::size_t>(salt)];
    return {at(fits.beta0, temperature_c), at(fits.beta1, temperature_c),
            at(fits.c_phi, temperature_c)};
}

double mean_activity_coefficient(Salt salt, double ionic_strength, double temperature_c) {
    constexpr double b = 1.2;     // Pitzer's universal parameter, [(kg/mol)^0.5]
    constexpr double alpha = 2.0; // for 1:1 salts, [(kg/mol)^0.5]
    const PitzerParameters p = pitzer_parameters(salt, temperature_c);
    const double root = std::sqrt(ionic_strength);
    const double x = alpha * root;
    const double f = -debye_hueckel_slope(temperature_c) *
                     (root / (1 + b * root) + 2 / b * std::log(1 + b * root));
    // The closed form loses its digits where x is tiny; there the series takes over.
    const double g = x < 1e-4 ? 1 - 2 * x / 3 : 2 * (1 - (1 + x) * std::exp(-x)) / (x * x);
    return std::exp(f + ionic_strength * (2 * p.beta0 + p.beta1 * (g + std::exp(-x))) +
                    1.5 * ionic_strength * ionic_strength * p.c_phi);
}

} // namespace quaycell
