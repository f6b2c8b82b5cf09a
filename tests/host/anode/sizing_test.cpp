#include "anode/sizing.h"

#include "anode/alloy.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr Range exact(double value) {
    return {value, value};
}

/// A worked example of a ship, transcribed, of unnamed source: 13,446.04 m2 at 200 mA/m2, a coating
/// of which 2, 12 and 22 % are bare, 40 years, aluminium of 2000 Ah/kg, 27.5 kg each.
CurrentDemand ships_demand() {
    return demand_of(exact(13446.04), exact(200), {exact(0.02), exact(0.12), exact(0.22)});
}

AnodeUse ships_anode() {
    return {
        40,        exact(2000), 0.85, 27.5, 2750, {Mounting::flush, 1.4, 0.15, 0.06}, exact(0.5875),
        exact(290)};
}

} // namespace

// Its steps are held to the printed values in tests/check-values.

TEST_CASE("a sizing puts the steps of the worked example together") {
    const auto sizing = size_anodes(ships_demand(), ships_anode());
    // 27.5 kg fit the box of 34.65 kg that these measures hold.
    REQUIRE(sizing);
    // By hand: 322.705 A x 40 x 8760 h / (0.85 x 2000 Ah/kg), over 27.5 kg; 0.29 V over 0.5875
    // / 1.55 ohm; 53.784 A over that.
    CHECK(sizing->mass_kg.low == doctest::Approx(66515.2).epsilon(1e-6));
    CHECK(sizing->count_by_mass.low == doctest::Approx(2418.73).epsilon(1e-5));
    CHECK(sizing->anode_current_a.low == doctest::Approx(0.765106).epsilon(1e-5));
    CHECK(sizing->count_by_initial_current.low == doctest::Approx(70.296).epsilon(1e-4));
    CHECK(sizing->needed.low == 2419);
}

TEST_CASE("a year of a coated steel hull of 11 m takes as much as was recomputed by hand") {
    // L (B + D) = 58.3 m2 at 15 to 25 mA/m2: zinc 11.6 to 19.3 kg, aluminium of 2500 Ah/kg 3.6 to
    // 6.0 kg; a propeller of 0.3 m2 at 500 mA/m2 0.15 A and 1.98 kg of zinc (recomputed).
    const CurrentDemand hull = demand_of(exact(58.3), {15, 25}, {});
    const Range zinc = mass_for(hull.mean, 1, facts_of(Alloy::zinc).capacity_ah_kg, 0.85);
    CHECK(zinc.low == doctest::Approx(11.6).epsilon(0.005));
    CHECK(zinc.high == doctest::Approx(19.3).epsilon(0.005));
    const Range aluminium = mass_for(hull.mean, 1, exact(2500), 0.85);
    CHECK(aluminium.low == doctest::Approx(3.6).epsilon(0.01));
    CHECK(aluminium.high == doctest::Approx(6.0).epsilon(0.01));
    const CurrentDemand propeller = demand_of(exact(0.3), exact(propeller_ma_m2), {});
    CHECK(propeller.mean.low == doctest::Approx(0.15));
    CHECK(mass_for(propeller.mean, 1, exact(780), 0.85).low ==
          doctest::Approx(1.98).epsilon(0.002));
}

TEST_CASE("counts are compared unrounded, and only what is needed is rounded, up") {
    AnodeUse use = ships_anode();
    const auto sizing = size_anodes(ships_demand(), use);
    REQUIRE(sizing);
    CHECK(sizing->count_by_mass.low > 2418);
    CHECK(sizing->count_by_mass.low < 2419);
    CHECK(sizing->needed.low >= 2419);
    // A whole number stays one: 1 A for a year over 8760 Ah usable each.
    use = {1, exact(1000), 0.876, 10, 7130, {Mounting::flush, 1, 0.1}, exact(0.25), exact(10000)};
    const auto whole = size_anodes({exact(1), exact(1), exact(1)}, use);
    REQUIRE(whole);
    CHECK(whole->count_by_mass.low == doctest::Approx(1));
    CHECK(whole->needed.low == 1);
    CHECK(whole->life_years.low == doctest::Approx(1));
}

TEST_CASE("what goes in as a range comes out as one that holds every case between") {
    AnodeUse use = ships_anode();
    use.capacity_ah_kg = {2000, 2500};
    use.resistivity_ohm_m = {0.2, 0.5875};
    use.driving_mv = {250, 290};
    const CurrentDemand wide = demand_of({13000, 13446.04}, {150, 200}, {});
    const auto range = size_anodes(wide, use);
    REQUIRE(range);
    for (const double capacity : {2000.0, 2200.0, 2500.0}) {
        for (const double resistivity : {0.2, 0.4, 0.5875}) {
            for (const double area : {13000.0, 13446.04}) {
                use.capacity_ah_kg = exact(capacity);
                use.resistivity_ohm_m = exact(resistivity);
                use.driving_mv = exact(270);
                const auto one = size_anodes(demand_of(exact(area), exact(180), {}), use);
                REQUIRE(one);
                CHECK(one->count_by_mass.low >= range->count_by_mass.low);
                CHECK(one->count_by_mass.high <= range->count_by_mass.high);
                CHECK(one->count_by_final_current.low >= range->count_by_final_current.low);
                CHECK(one->count_by_final_current.high <= range->count_by_final_current.high);
                CHECK(one->needed.low >= range->needed.low);
                CHECK(one->needed.high <= range->needed.high);
            }
        }
    }
}

TEST_CASE("amounts that cannot be are refused by name") {
    const auto refusal = [](auto change) {
        AnodeUse use = ships_anode();
        change(use);
        const auto sizing = size_anodes(ships_demand(), use);
        REQUIRE_FALSE(sizing);
        CHECK(sizing.error().code == ErrorCode::wrong_input);
        return sizing.error().what;
    };
    CHECK(refusal([](AnodeUse& use) { use.years = 0; }).find("time") != std::string::npos);
    CHECK(refusal([](AnodeUse& use) { use.utilisation = 1.2; }).find("whole anode") !=
          std::string::npos);
    CHECK(refusal([](AnodeUse& use) { use.shape.width_m = -0.1; }).find("width") !=
          std::string::npos);
    CHECK(refusal([](AnodeUse& use) { use.driving_mv = exact(0); }).find("driving") !=
          std::string::npos);
    // 1.4 x 0.15 x 0.06 m of aluminium weigh 34.65 kg.
    CHECK(refusal([](AnodeUse& use) { use.mass_kg = 275; }).find("hold 34.") != std::string::npos);
    const auto nothing = size_anodes(demand_of(exact(0), exact(200), {}), ships_anode());
    REQUIRE_FALSE(nothing);
    CHECK(nothing.error().what.find("current") != std::string::npos);
}

TEST_CASE("who renews at half gone gets less out of an anode than the code counts") {
    // The ship again, used to 85 % by the code. By hand: 0.5 / 0.85 of its life, and 2418.7 / (0.5
    // / 0.85) = 4111.8 anodes by mass.
    const auto sizing = size_anodes(ships_demand(), ships_anode());
    REQUIRE(sizing);
    CHECK(sizing->life_to_renewal_years.low ==
          doctest::Approx(sizing->life_years.low * 0.5 / 0.85));
    CHECK(sizing->needed_to_renewal.low == 4112);
    AnodeUse half = ships_anode();
    half.utilisation = 0.5;
    const auto same = size_anodes(ships_demand(), half);
    REQUIRE(same);
    CHECK(same->needed_to_renewal.low == same->needed.low);
    CHECK(same->life_to_renewal_years.low == same->life_years.low);
}
