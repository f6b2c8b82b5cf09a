#include "protection/verdict.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr Band aluminium{-950, -1100};

} // namespace

TEST_CASE("Well inside the band is protected, well outside is not") {
    CHECK(verdict_in(aluminium, -870, 12) == Verdict::under_protected);
    CHECK(verdict_in(aluminium, -1000, 12) == Verdict::protected_);
    CHECK(verdict_in(aluminium, -1130, 12) == Verdict::over_protected);
}

TEST_CASE("A limit inside the uncertainty leaves it undecided; just as far away decides") {
    CHECK(verdict_in(aluminium, -938.1, 12) == Verdict::undecided);
    CHECK(verdict_in(aluminium, -961.9, 12) == Verdict::undecided);
    CHECK(verdict_in(aluminium, -938, 12) == Verdict::under_protected);
    CHECK(verdict_in(aluminium, -962, 12) == Verdict::protected_);
    CHECK(verdict_in(aluminium, -1088, 12) == Verdict::protected_);
    CHECK(verdict_in(aluminium, -1112, 12) == Verdict::over_protected);
}

TEST_CASE("A window narrower than twice the uncertainty cannot be passed") {
    constexpr Band wood{-550, -600};
    for (double potential_mv = -700; potential_mv < -400; potential_mv += 1)
        CHECK(verdict_in(wood, potential_mv, 26) != Verdict::protected_);
}

TEST_CASE("Without uncertainty the limits themselves are inside the band") {
    CHECK(verdict_in(aluminium, -950, 0) == Verdict::protected_);
    CHECK(verdict_in(aluminium, -1100, 0) == Verdict::protected_);
    CHECK(verdict_in(aluminium, -949.9, 0) == Verdict::under_protected);
    CHECK(verdict_in(aluminium, -1100.1, 0) == Verdict::over_protected);
}

TEST_CASE("Where no negative limit is published nothing is over-protected") {
    CHECK(verdict_in({-450, std::nullopt}, -1600, 12) == Verdict::protected_);
    CHECK(probability_in({-450, std::nullopt}, -1600, 12).over == 0);
}

TEST_CASE("Probabilities of the decision rule: limit -800, U 12") {
    // Recomputed with another program from the normal distribution, u = 6.
    constexpr Band steel{-800, std::nullopt};
    CHECK(probability_in(steel, -812, 12).protected_ == doctest::Approx(0.977).epsilon(0.001));
    CHECK(probability_in(steel, -806, 12).protected_ == doctest::Approx(0.841).epsilon(0.001));
    CHECK(probability_in(steel, -800, 12).protected_ == doctest::Approx(0.5));
    CHECK(probability_in(steel, -795, 12).protected_ == doctest::Approx(0.202).epsilon(0.003));
}

TEST_CASE("The one-sided example of JCGM 106: -5.47, u 0.05, limit -5.40 gives 0.9192") {
    CHECK(probability_in({-5.40, std::nullopt}, -5.47, 0.1).protected_ ==
          doctest::Approx(0.9192).epsilon(0.0001));
}

TEST_CASE("The three probabilities sum to one and follow the side of the reading") {
    for (const double potential_mv : {-500.0, -940.0, -1000.0, -1095.0, -1300.0}) {
        const BandProbability p = probability_in(aluminium, potential_mv, 23);
        CHECK(p.under + p.protected_ + p.over == doctest::Approx(1));
    }
    CHECK(probability_in(aluminium, -500, 23).under == doctest::Approx(1));
    CHECK(probability_in(aluminium, -1300, 23).over == doctest::Approx(1));
    CHECK(probability_in(aluminium, -1000, 0).protected_ == 1);
    CHECK(probability_in(aluminium, -870, 0).under == 1);
}

TEST_CASE("Of two conversions each end of the band gets the stricter one") {
    CHECK(verdict_in(aluminium, {-953, -949}, 0) == Verdict::under_protected);
    CHECK(verdict_in(aluminium, {-949, -953}, 0) == Verdict::under_protected);
    CHECK(verdict_in(aluminium, {-1098, -1101}, 0) == Verdict::over_protected);
    CHECK(verdict_in(aluminium, {-1085, -1089}, 12) == Verdict::undecided);
    CHECK(probability_in(aluminium, {-950, -960}, 12).under == doctest::Approx(0.5));
    CHECK(probability_in(aluminium, {-1090, -1100}, 12).over == doctest::Approx(0.5));
    // Farther apart than the band is wide, nothing is left between its ends.
    CHECK(probability_in({-550, -551}, {-540, -560}, 0).protected_ == 0);
}

TEST_CASE("Verdicts have the names of the trade") {
    CHECK(name_of(Verdict::under_protected) == "under-protected");
    CHECK(name_of(Verdict::protected_) == "protected");
    CHECK(name_of(Verdict::over_protected) == "over-protected");
    CHECK(name_of(Verdict::undecided) == "undecided");
    CHECK(name_of(Verdict::no_verdict) == "no-verdict");
}
