#include "diagnosis/galvanic_series.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

double middle_of(std::string_view metal) {
    const auto row = std::ranges::find(galvanic_series(), metal, &FreePotential::metal);
    REQUIRE(row != galvanic_series().end());
    return row->potential_mv.middle();
}

} // namespace

TEST_CASE("The series is in the order of the published charts, from the least noble on") {
    // The LaQue chart, flowing sea water, as the Australasian Corrosion Association shows it: read.
    const std::string_view order[] = {"magnesium",
                                      "zinc",
                                      "aluminium alloys",
                                      "mild steel",
                                      "304 stainless, active",
                                      "aluminium bronze",
                                      "manganese bronze",
                                      "silicon bronze",
                                      "70-30 copper-nickel",
                                      "nickel-aluminium bronze",
                                      "316 stainless, passive",
                                      "titanium",
                                      "graphite"};
    for (std::size_t i = 1; i < std::size(order); ++i) {
        INFO(order[i - 1], " before ", order[i]);
        CHECK(middle_of(order[i - 1]) < middle_of(order[i]));
    }
}

TEST_CASE("The Naval Research Laboratory's table lies inside the ranges, or within 60 mV of them") {
    // SeawaterPotentialData.xml, read; the file states no reference electrode, so the check is
    // wide.
    const auto near = [](std::string_view metal, double mv) {
        const auto row = std::ranges::find(galvanic_series(), metal, &FreePotential::metal);
        REQUIRE(row != galvanic_series().end());
        INFO(metal);
        CHECK(mv > row->potential_mv.low - 60);
        CHECK(mv < row->potential_mv.high + 60);
    };
    near("magnesium", -1640);
    near("zinc", -1030);
    near("aluminium alloys", -790);
    near("mild steel", -610);
    near("304 stainless, active", -530);
    near("aluminium bronze", -360);
    near("copper", -360);
    near("manganese bronze", -290);
    near("silicon bronze", -270);
    near("90-10 copper-nickel", -280);
    near("70-30 copper-nickel", -250);
    near("lead", -220);
    near("nickel-aluminium bronze", -190);
    near("304 stainless, passive", -80);
    near("nickel-copper", -80);
    near("316 stainless, passive", -50);
    near("titanium", -100);
    near("graphite", 250);
}

TEST_CASE("Every range has its negative end first and says where it comes from") {
    for (const FreePotential& row : galvanic_series()) {
        INFO(row.metal);
        CHECK(row.potential_mv.low < row.potential_mv.high);
        CHECK_FALSE(row.status.empty());
    }
}
