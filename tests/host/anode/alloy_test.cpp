#include "anode/alloy.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("an alloy is found by its name, and one that there is not lists those there are") {
    CHECK(*alloy_named("zinc") == Alloy::zinc);
    const auto none = alloy_named("lead");
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::wrong_usage);
    CHECK(none.error().remedy.find("magnesium") != std::string::npos);
}

TEST_CASE("each row stands at its alloy's place") {
    for (const AlloyFacts& each : all_alloys())
        CHECK(&facts_of(each.alloy) == &each);
}

TEST_CASE("no alloy delivers more than what dissolves for the current alone") {
    for (const AlloyFacts& each : all_alloys())
        CHECK(each.capacity_ah_kg.high < each.faraday_ah_kg);
}

TEST_CASE("what dissolves for the current alone follows from atomic mass and valency") {
    // F = 96485.33 C/mol (CODATA); molar masses: IUPAC abridged 2021. One ampere hour is 3600 C.
    const auto ah_kg = [](double valency, double g_mol) {
        return valency * 96485.33 / 3600 / (g_mol / 1000);
    };
    CHECK(facts_of(Alloy::zinc).faraday_ah_kg == doctest::Approx(ah_kg(2, 65.38)).epsilon(0.001));
    CHECK(facts_of(Alloy::aluminium).faraday_ah_kg ==
          doctest::Approx(ah_kg(3, 26.982)).epsilon(0.001));
    CHECK(facts_of(Alloy::magnesium).faraday_ah_kg ==
          doctest::Approx(ah_kg(2, 24.305)).epsilon(0.001));
}
