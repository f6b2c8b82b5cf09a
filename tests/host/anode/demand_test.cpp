#include "anode/demand.h"

#include "anode/sizing.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a hull of 11 m at the waterline wets 58.3 m2") {
    // L (B + D) by hand: 11 (3.8 + 1.5).
    CHECK(wetted_area_m2({11, 3.8, 1.5}, *hull_form_named("full")) == doctest::Approx(58.3));
    CHECK(wetted_area_m2({11, 3.8, 1.5}, *hull_form_named("light")) == doctest::Approx(29.15));
}

TEST_CASE("a coating wears by its durability, and no more than all of it is ever bare") {
    const auto low = *coating_breakdown_named("low");
    const BareShare ten = bare_share(low, 0, 10);
    CHECK(ten.initial.low == 0.01);
    CHECK(ten.initial.high == 0.02);
    CHECK(ten.mean.low == doctest::Approx(0.16)); // 1 % + 3 % a year, 5 years on average
    CHECK(ten.final.high == doctest::Approx(0.32));
    CHECK(bare_share(low, 5, 10).initial.low == doctest::Approx(0.16));
    CHECK(bare_share(low, 0, 100).final.high == 1);
}

TEST_CASE("the longer between dockings, the more current a coated hull takes") {
    CHECK(docking_density_ma_m2(12)->low == 15);
    CHECK(docking_density_ma_m2(18)->high == 25);
    CHECK(docking_density_ma_m2(18.5)->low == 26);
    CHECK(docking_density_ma_m2(60)->high == 75);
    CHECK(docking_density_ma_m2(61).error().code == ErrorCode::out_of_range);
    CHECK(docking_density_ma_m2(0).error().code == ErrorCode::out_of_range);
}

TEST_CASE("bare metal takes more than coated in every flow, and more the faster the water") {
    double last = 0;
    for (const FlowDensity& each : flow_densities()) {
        CHECK(each.bare_ma_m2.low > each.coated_ma_m2.high);
        CHECK(each.bare_ma_m2.low > last);
        last = each.bare_ma_m2.low;
    }
    CHECK_FALSE(flow_density_named("waterfall"));
}

TEST_CASE("demand is area times density times what is bare") {
    const CurrentDemand demand = demand_of({58.3, 58.3}, {15, 25}, {{1, 1}, {0.5, 1}, {1, 1}});
    CHECK(demand.initial.low == doctest::Approx(0.8745)); // 58.3 m2 at 15 mA/m2, by hand
    CHECK(demand.initial.high == doctest::Approx(1.4575));
    CHECK(demand.mean.low == doctest::Approx(0.43725));
}
