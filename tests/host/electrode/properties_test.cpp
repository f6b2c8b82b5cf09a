// What holds for all water and all readings, tried at random.
#include "electrode/activity.h"
#include "electrode/budget.h"
#include "electrode/conversion_parts.h"
#include "electrode/junction.h"
#include "electrode/limits.h"
#include "electrode/open_element.h"
#include "electrode/salinity.h"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>
#include <random>

using namespace quaycell;

namespace {

/// The same numbers in every run.
class Draws {
  public:
    double between(double low, double high) {
        return std::uniform_real_distribution(low, high)(engine_);
    }
    /// As many between 0.05 and 0.5 as between 4 and 40.
    double salinity_psu() {
        return std::exp(between(std::log(salinity_limits.low), std::log(salinity_limits.high)));
    }
    double temperature_c() {
        return between(water_temperature_limits.low, water_temperature_limits.high);
    }
    Scale scale() {
        return all_scales()[std::uniform_int_distribution<std::size_t>(0, all_scales().size() -
                                                                              1)(engine_)]
            .scale;
    }
    bool heads() { return std::bernoulli_distribution()(engine_); }
    /// Anything a number can be.
    double anything() {
        switch (std::uniform_int_distribution(0, 7)(engine_)) {
        case 0:
            return std::numeric_limits<double>::quiet_NaN();
        case 1:
            return std::numeric_limits<double>::infinity();
        case 2:
            return -std::numeric_limits<double>::infinity();
        case 3:
            return between(-1e300, 1e300);
        case 4:
            return between(-1e-300, 1e-300);
        default:
            return between(-100, 100);
        }
    }

  private:
    std::mt19937 engine_{20};
};

constexpr ChlorideActivity activities[]{ChlorideActivity::macinnes,
                                        ChlorideActivity::mean_sodium_chloride};

} // namespace

TEST_CASE("There and back gives the potential again, in any water and between any scales") {
    Draws draws;
    for (int i = 0; i < 20000; ++i) {
        Water water;
        water.temperature_c = draws.temperature_c();
        const double salinity = draws.salinity_psu();
        water.salinity_psu = {salinity, salinity};
        const Scale from = draws.scale();
        const Scale to = draws.scale();
        const Constants constants = draws.heads() ? Constants::computed : Constants::handbook;
        const ChlorideActivity activity = activities[draws.heads()];
        const double reading = draws.between(-1700, 300);
        const double there = *convert_mv(reading, from, to, water, constants, activity);
        CHECK(std::abs(*convert_mv(there, to, from, water, constants, activity) - reading) < 1e-9);
    }
}

TEST_CASE("Salinity, conductivity and resistivity lead back to each other") {
    Draws draws;
    for (int i = 0; i < 2000; ++i) {
        const double t = draws.temperature_c();
        const double salinity = draws.between(0.0501, 41.999);
        INFO(salinity << " PSU at " << t << " degC");
        CHECK(*salinity_from_conductivity(*conductivity_from_salinity(salinity, t), t) ==
              doctest::Approx(salinity).epsilon(1e-10));
        CHECK(*salinity_from_resistivity(*resistivity_ohm_m(salinity, t), t) ==
              doctest::Approx(salinity).epsilon(1e-10));
    }
}

TEST_CASE("More chloride is always a more negative element, by salinity and by mg/L") {
    Draws draws;
    for (int i = 0; i < 20000; ++i) {
        const double t = draws.temperature_c();
        const ChlorideActivity activity = activities[draws.heads()];
        const double salinity = draws.between(0.05, 41);
        const double mg_l = draws.between(1, 23000);
        const double more = 1 + draws.between(1e-6, 0.02);
        CHECK(*open_element_vs_she_mv(*chloride_of_salinity(salinity * more), t, activity) <
              *open_element_vs_she_mv(*chloride_of_salinity(salinity), t, activity));
        CHECK(*open_element_vs_she_mv(*chloride_of_concentration(mg_l * more), t, activity) <
              *open_element_vs_she_mv(*chloride_of_concentration(mg_l), t, activity));
    }
}

TEST_CASE("Saltier water conducts better, at any temperature") {
    Draws draws;
    for (int i = 0; i < 2000; ++i) {
        const double t = draws.temperature_c();
        const double salinity = draws.between(0.05, 41);
        CHECK(*conductivity_from_salinity(salinity * 1.001, t) >
              *conductivity_from_salinity(salinity, t));
    }
}

TEST_CASE("No model steps where two of its pieces meet") {
    for (double t = -2; t <= 40; t += 0.5) {
        CAPTURE(t);
        // Hill's extension below 2 PSU.
        const double two_psu = *conductivity_from_salinity(2, t) / standard_conductivity_ms_cm;
        CHECK(std::abs(practical_salinity(two_psu * (1 + 1e-12), t, 0) -
                       practical_salinity(two_psu * (1 - 1e-12), t, 0)) < 1e-9);
        // The series for g where 2 sqrt(I) is 1e-4.
        const double series = 0.25e-8;
        for (const Salt salt : {Salt::sodium_chloride, Salt::potassium_chloride})
            CHECK(std::abs(mean_activity_coefficient(salt, series * (1 + 1e-9), t) -
                           mean_activity_coefficient(salt, series * (1 - 1e-9), t)) < 1e-12);
    }
    // The table of junction residuals, at its rows.
    for (const double psu : {0.1, 1.0, 10.0, 35.0})
        CHECK(std::abs(junction_residual_mv(psu * (1 + 1e-9)) -
                       junction_residual_mv(psu * (1 - 1e-9))) < 1e-6);
    // Salinity and its chloride in mg/L are two ways to say the same of sea water.
    for (const double psu : {5.0, 20.0, 35.0, 41.9}) {
        const double t = 25;
        // Grams of chloride per gram of salt 0.55034 (Millero et al. 2008), density at 25 degC
        // linear from 997.05 to 1023.34 kg/m3 at 35.
        const double mg_l =
            psu * 35.16504 / 35 * 0.55034 * (997.05 + (1023.34 - 997.05) * psu / 35);
        CHECK(std::abs(*open_element_vs_she_mv(*chloride_of_salinity(psu), t) -
                       *open_element_vs_she_mv(*chloride_of_concentration(mg_l), t)) < 0.05);
    }
}

TEST_CASE("What is no number never comes out as one, nor anything but a number or a refusal") {
    Draws draws;
    for (int i = 0; i < 50000; ++i) {
        Water water;
        water.temperature_c = draws.heads() ? draws.temperature_c() : draws.anything();
        water.salinity_psu = {draws.heads() ? draws.salinity_psu() : draws.anything(),
                              draws.heads() ? draws.salinity_psu() : draws.anything()};
        if (draws.heads()) water.chloride_mg_l = Range{draws.anything(), draws.anything()};
        const double reading = draws.heads() ? draws.between(-1700, 300) : draws.anything();
        const Scale from = draws.scale();
        const Scale to = draws.scale();
        const auto converted = convert_mv(reading, from, to, water);
        if (converted) {
            CHECK(std::isfinite(*converted));
            CHECK(check_water(water));
        }
        const auto budget = reading_budget(from, water, CellCheck::unchecked);
        CHECK(static_cast<bool>(budget) == static_cast<bool>(check_water(water)));
        if (budget) CHECK(std::isfinite(budget->expanded_mv()));
        for (const Result<double>& salinity :
             {salinity_from_conductivity(draws.anything(), water.temperature_c),
              salinity_from_resistivity(draws.anything(), water.temperature_c)})
            if (salinity) CHECK(within(salinity_limits, *salinity));
    }
}
