#include "electrode/open_element.h"

#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

TEST_CASE("The element becomes more negative as chloride rises, at every temperature") {
    for (const double t : {-2.0, 0.0, 15.0, 25.0, 40.0}) {
        double before_mv = 1000;
        for (const double salinity : {0.05, 0.1, 1.0, 5.0, 10.0, 20.0, 35.0, 42.0}) {
            const double here_mv = *open_element_vs_she_mv(*chloride_of_salinity(salinity), t);
            CHECK(here_mv < before_mv);
            before_mv = here_mv;
        }
    }
}

TEST_CASE("Below a few milligrams per litre the element's own chloride holds it") {
    // At 1e-4 mol/kg the self-solubility counts 0.4 mV, at 5e-5 mol/kg 1.7 mV (25 degC): half the
    // chloride moves the element by less than the 17.8 mV of Nernst.
    const double at_1e4 = *open_element_vs_she_mv({1e-4, 1e-4}, 25);
    const double at_5e5 = *open_element_vs_she_mv({5e-5, 5e-5}, 25);
    CHECK(at_5e5 - at_1e4 == doctest::Approx(17.8 - (1.7 - 0.4)).epsilon(0.02));
}

TEST_CASE("A temperature outside -2 to 40 degC, or none at all, is refused") {
    const Chloride sea = *chloride_of_salinity(35);
    for (const double t : {-2.1, 40.1, std::numeric_limits<double>::quiet_NaN()})
        CHECK_FALSE(open_element_vs_she_mv(sea, t));
}

TEST_CASE("The two conventions differ by 1.63 mV in sea water at 25 degC and meet in fresh water") {
    const auto difference_mv = [](double salinity) {
        const Chloride chloride = *chloride_of_salinity(salinity);
        return *open_element_vs_she_mv(chloride, 25) -
               *open_element_vs_she_mv(chloride, 25, ChlorideActivity::mean_sodium_chloride);
    };
    CHECK(difference_mv(35) == doctest::Approx(1.63).epsilon(0.01));
    CHECK(difference_mv(1) == doctest::Approx(0.07).epsilon(0.1));
}
