#include "electrode/open_element.h"

#include "electrode/activity.h"
#include "electrode/constants.h"
#include "electrode/limits.h"

#include <cmath>

namespace quaycell {
namespace {

/// Silver against SHE: 0.7991 V and -0.99 mV/K at 25 degC. Gives the solubility product of silver
/// chloride as 1.79e-10 at 25 degC (accepted, from memory: 1.77e-10).
double solubility_product(double temperature_c) {
    const double silver_mv = 799.1 - 0.99 * (temperature_c - 25);
    return std::exp((silver_chloride_standard_mv(temperature_c) - silver_mv) /
                    nernst_slope_mv(temperature_c));
}

} // namespace

double silver_chloride_standard_mv(double temperature_c) {
    const double t = temperature_c;
    return 1000 * (0.23659 + t * (-4.8564e-4 + t * (-3.4205e-6 + t * 5.869e-9)));
}

Result<double> open_element_vs_she_mv(const Chloride& chloride, double temperature_c,
                                      ChlorideActivity activity) {
    const Result<double> temperature = within(water_temperature_limits, temperature_c);
    if (!temperature) return temperature.error();
    const Salt salt =
        activity == ChlorideActivity::macinnes ? Salt::potassium_chloride : Salt::sodium_chloride;
    const double from_water =
        chloride.molality * mean_activity_coefficient(salt, chloride.ionic_strength, temperature_c);
    // Below a few mg/L the chloride that the element itself dissolves counts too.
    const double total =
        (from_water + std::sqrt(from_water * from_water + 4 * solubility_product(temperature_c))) /
        2;
    return silver_chloride_standard_mv(temperature_c) -
           nernst_slope_mv(temperature_c) * std::log(total);
}

} // namespace quaycell
