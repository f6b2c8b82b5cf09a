#include "electrode/activity.h"

#include "electrode/constants.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace quaycell {
namespace {

/// Coefficients of 1, T, 1/T, ln T, 1/(T - 263), T^2, 1/(680 - T), 1/(T - 227), T in kelvin; or
/// those terms themselves. The poles at 263 K and 227 K are harmless between -2 and 40 degC.
using Fit = std::array<double, 8>;

Fit terms_at(double temperature_c) {
    const double t = kelvin(temperature_c);
    return {1, t, 1 / t, std::log(t), 1 / (t - 263), t * t, 1 / (680 - t), 1 / (t - 227)};
}

double sum_of(const Fit& coefficients, const Fit& terms) {
    double sum = 0;
    for (std::size_t i = 0; i < terms.size(); ++i)
        sum += coefficients[i] * terms[i];
    return sum;
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

PitzerParameters parameters_of(Salt salt, const Fit& terms) {
    const SaltFits& fits = salt_fits[static_cast<std::size_t>(salt)];
    return {sum_of(fits.beta0, terms), sum_of(fits.beta1, terms), sum_of(fits.c_phi, terms)};
}

} // namespace

double debye_hueckel_slope(double temperature_c) {
    return sum_of(a_phi, terms_at(temperature_c));
}

PitzerParameters pitzer_parameters(Salt salt, double temperature_c) {
    return parameters_of(salt, terms_at(temperature_c));
}

double mean_activity_coefficient(Salt salt, double ionic_strength, double temperature_c) {
    constexpr double b = 1.2;     // Pitzer's universal parameter, [(kg/mol)^0.5]
    constexpr double alpha = 2.0; // for 1:1 salts, [(kg/mol)^0.5]
    const Fit terms = terms_at(temperature_c);
    const PitzerParameters p = parameters_of(salt, terms);
    const double root = std::sqrt(ionic_strength);
    const double x = alpha * root;
    const double f =
        -sum_of(a_phi, terms) * (root / (1 + b * root) + 2 / b * std::log(1 + b * root));
    const double falling = std::exp(-x);
    // The closed form loses its digits where x is tiny; there the series takes over.
    const double g = x < 1e-4 ? 1 - 2 * x / 3 : 2 * (1 - (1 + x) * falling) / (x * x);
    return std::exp(f + ionic_strength * (2 * p.beta0 + p.beta1 * (g + falling)) +
                    1.5 * ionic_strength * ionic_strength * p.c_phi);
}

} // namespace quaycell
