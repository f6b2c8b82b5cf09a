#include "judging/size_demand.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Boat boat_with(Hull hull) {
    Boat boat;
    boat.hull = hull;
    return boat;
}

/// The measures of an 11 m boat, of which L (B + D) is 58.3 m2 by hand.
SizeOptions by_measures() {
    SizeOptions options;
    options.waterline_m = 11;
    options.beam_m = 3.8;
    options.draught_m = 1.5;
    options.form = "full";
    options.docking_months = 18;
    options.years = 1;
    return options;
}

ErrorCode code_of(const SizeOptions& options, const std::optional<Boat>& boat = std::nullopt) {
    const auto refused = demand_from(options, boat);
    REQUIRE_FALSE(refused);
    CHECK_FALSE(refused.error().remedy.empty());
    return refused.error().code;
}

} // namespace

TEST_CASE("a metal hull takes current by its measures, marked as a rule of thumb") {
    const auto demand = demand_from(by_measures(), boat_with(Hull::steel));
    REQUIRE(demand);
    CHECK(demand->current_a.mean.low ==
          doctest::Approx(58.3 * 15 / 1000)); // 15 to 25 mA/m2, table 5
    CHECK(demand->current_a.mean.high == doctest::Approx(58.3 * 25 / 1000));
    CHECK(demand->sources.front().find("rule of thumb, from memory") != std::string::npos);
}

TEST_CASE("a hull that takes no current is refused by its measures, and its metal asked for") {
    for (const Hull hull : {Hull::wood, Hull::grp, Hull::grp_aluminium_drive})
        CHECK(code_of(by_measures(), boat_with(hull)) == ErrorCode::refused);
    CHECK(code_of(by_measures()) == ErrorCode::wrong_usage); // of which hull?
    SizeOptions metal;
    metal.area_m2 = "0.3";
    metal.current_density_ma_m2 = "500";
    const auto demand = demand_from(metal, boat_with(Hull::wood));
    REQUIRE(demand);
    CHECK(demand->current_a.initial.low == doctest::Approx(0.15));
    CHECK(demand->assumed.front().find("immersed metal alone") != std::string::npos);
}

TEST_CASE("what is bare of a coating counts at first, on average and in the end") {
    SizeOptions options;
    options.area_m2 = "100";
    options.current_density_ma_m2 = "200";
    options.breakdown_initial = "0.02";
    options.breakdown_mean = "0.12";
    options.breakdown_final = "0.22";
    const auto demand = demand_from(options, std::nullopt);
    REQUIRE(demand);
    CHECK(demand->current_a.initial.low == doctest::Approx(0.4));
    CHECK(demand->current_a.mean.low == doctest::Approx(2.4));
    CHECK(demand->current_a.final.high == doctest::Approx(4.4));
    options.breakdown_final = "1.2";
    CHECK(code_of(options) == ErrorCode::wrong_input);
    options.breakdown_final.clear();
    CHECK(code_of(options) == ErrorCode::wrong_usage);
}

TEST_CASE("what is said twice, or by half, is refused") {
    SizeOptions twice = by_measures();
    twice.area_m2 = "58";
    CHECK(code_of(twice, boat_with(Hull::steel)) == ErrorCode::wrong_usage);
    SizeOptions densities = by_measures();
    densities.flow = "still";
    CHECK(code_of(densities, boat_with(Hull::steel)) == ErrorCode::wrong_usage);
    SizeOptions half;
    half.current_mean_a = "1";
    CHECK(code_of(half) == ErrorCode::wrong_usage);
    SizeOptions coated = by_measures(); // of the whole coated area already
    coated.coating = "low";
    CHECK(code_of(coated, boat_with(Hull::steel)) == ErrorCode::wrong_usage);
    SizeOptions flat = by_measures();
    flat.beam_m = 0;
    CHECK(code_of(flat, boat_with(Hull::steel)) == ErrorCode::wrong_input);
    CHECK(code_of({}) == ErrorCode::wrong_usage);
}
