#include "boats.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

std::vector<Criterion> rows(const std::string& toml) {
    return *parse_criteria(toml, "own.toml");
}

const Criterion* row_named(const std::vector<Criterion>& criteria, std::string_view id) {
    const auto row = std::ranges::find(criteria, id, &Criterion::id);
    return row == criteria.end() ? nullptr : &*row;
}

} // namespace

TEST_CASE("A row with the id of a built-in one takes its place") {
    auto own = rows(made_up_row("abyc_steel", "steel", "absolute", "protected_from_mv = -870"));
    own.front().rule_set = "small-craft";
    const auto criteria = with_own_criteria(built_in_criteria(), own, "own.toml");
    REQUIRE(criteria);
    CHECK(criteria->size() == built_in_criteria().size());
    CHECK(*row_named(*criteria, "abyc_steel")->protected_from_mv == -870);
}

TEST_CASE("Other rows are added, with a rule set of their own") {
    const auto criteria = with_own_criteria(
        built_in_criteria(),
        rows(made_up_row("yard", "steel", "absolute", "protected_from_mv = -870")), "own.toml");
    REQUIRE(criteria);
    CHECK(criteria->size() == built_in_criteria().size() + 1);
    CHECK(rule_sets_in(*criteria).back() == "own");
}

TEST_CASE("Two rows that judge the same hull in the same water are refused by name") {
    const auto criteria = with_own_criteria(
        {},
        rows(made_up_row("first", "steel", "absolute", "protected_from_mv = -870") +
             made_up_row("second", "steel", "absolute", "protected_from_mv = -800")),
        "own.toml");
    REQUIRE_FALSE(criteria);
    CHECK(criteria.error().code == ErrorCode::wrong_input);
    CHECK(criteria.error().where == "own.toml");
    CHECK(criteria.error().what ==
          "rows \"first\" and \"second\" of rule set \"own\" both judge steel in the same water");
}

TEST_CASE("Rows for other water, for another cell or for mud do not contradict each other") {
    const std::string steel = made_up_row("a", "steel", "absolute", "protected_from_mv = -870");
    const auto together = [&](const std::string& other) {
        return static_cast<bool>(with_own_criteria({}, rows(steel + other), "own.toml"));
    };
    CHECK(together(
        made_up_row("b", "steel", "absolute", "protected_from_mv = -800", "agcl/seawater", 0, 5)));
    CHECK(together(made_up_row("b", "steel", "absolute", "protected_from_mv = -850", "cse")));
    CHECK(together(made_up_row("b", "steel", "limit", "over_at_mv = -1000")));
    auto apart = rows(steel + made_up_row("b", "steel", "absolute", "protected_from_mv = -900"));
    apart[0].oxygen = Oxygen::aerobic;
    apart[1].oxygen = Oxygen::anaerobic;
    CHECK(with_own_criteria({}, apart, "own.toml"));
}
