#include "protection/disagreement.h"

#include "boats.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const Disagreement* about(const std::vector<Disagreement>& all, std::string_view subject,
                          bool negative_end, Oxygen oxygen = Oxygen::aerobic) {
    const auto found = std::ranges::find_if(all, [&](const Disagreement& d) {
        return d.subject == subject && d.negative_end == negative_end && d.oxygen == oxygen;
    });
    return found == all.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("For aluminium the small-craft table and the marine standard lie 150 mV apart") {
    const auto all = disagreements_in(built_in_criteria());
    const Disagreement* aluminium = about(all, "aluminium", false);
    REQUIRE(aluminium != nullptr);
    CHECK(aluminium->spread_mv() == doctest::Approx(150));
    CHECK(aluminium->limits.front().criterion->id == "en_al");
    CHECK(*aluminium->limits.back().criterion->protected_from_mv == -950);
}

TEST_CASE("Steel is protected from -800 or from -850 mV, and in mud all ask for -900") {
    const auto all = disagreements_in(built_in_criteria());
    const Disagreement* steel = about(all, "steel", false);
    REQUIRE(steel != nullptr);
    CHECK(steel->limits.back().criterion->id == "nstm633_zinc"); // background: -850, after -850
    CHECK(about(all, "steel", false, Oxygen::anaerobic) == nullptr);
}

TEST_CASE("Digits that look alike on two cells are told apart: -850 on cse is not -850 on agcl") {
    const auto criteria = *parse_criteria(
        made_up_row("a", "steel", "absolute", "protected_from_mv = -850") +
            made_up_row("b", "steel", "absolute", "protected_from_mv = -850", "cse"),
        "own.toml");
    const auto all = disagreements_in(criteria);
    REQUIRE(all.size() == 1);
    // cse: 316 mV at 25 degC and +0.03 mV/K, 315.7 at 15; the open element at S = 35 and 15 degC:
    // 254.50 mV (electrode-pitzer.csv).
    CHECK(all.front().spread_mv() == doctest::Approx(315.7 - 254.50).epsilon(0.001));
}

TEST_CASE("Rows for fresh water and rows for the sea do not disagree") {
    const auto criteria =
        *parse_criteria(made_up_row("a", "steel", "absolute", "protected_from_mv = -850") +
                            made_up_row("b", "steel", "absolute", "protected_from_mv = -700",
                                        "agcl/seawater", 0, 0.5),
                        "own.toml");
    CHECK(disagreements_in(criteria).empty());
}

TEST_CASE("Rows that say the same do not disagree") {
    const auto criteria =
        *parse_criteria(made_up_row("a", "steel", "absolute", "protected_from_mv = -850") +
                            made_up_row("b", "mild-steel", "absolute", "protected_from_mv = -850"),
                        "own.toml");
    CHECK(disagreements_in(criteria).empty());
}
