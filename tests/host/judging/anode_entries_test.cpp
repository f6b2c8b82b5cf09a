#include "judging/anode_entries.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// Invented.
AnodeEntryRow entry(std::int64_t number, const char* kind, const char* place,
                    const char* boat = "") {
    AnodeEntryRow row;
    row.number = number;
    row.kind = kind;
    row.boat = boat;
    row.place = place;
    return row;
}

AnodeEntryRow strike(std::int64_t number, std::int64_t about) {
    AnodeEntryRow row = entry(number, "strike", "");
    row.about = about;
    return row;
}

using Boats = std::vector<std::string_view>;

} // namespace

TEST_CASE("what names no boat is of the only one that was named by then") {
    const std::vector rows{entry(1, "fitted", "shaft", "Tern"), entry(2, "fitted", "rudder"),
                           entry(3, "fitted", "keel", "Gull"), entry(4, "fitted", "nut")};
    CHECK(boats_of(rows) == Boats{"Tern", "Tern", "Gull", ""});
}

TEST_CASE("another boat's entry is not taken, whether it names its boat or not") {
    const std::vector rows{entry(1, "fitted", "shaft", "Tern"), entry(2, "fitted", "rudder"),
                           entry(3, "weighed", "rudder", "Tern"),
                           entry(4, "fitted", "keel", "Gull"), strike(5, 2)};
    const auto of_gull = entries_of_boat(rows, "Gull");
    REQUIRE(of_gull.size() == 1);
    CHECK(of_gull[0].place == "keel");
    CHECK(entries_of_boat(rows, "Tern").size() == 4);
}

TEST_CASE("what was entered before any boat was named may be any one's until a later entry tells") {
    std::vector rows{entry(1, "fitted", "rudder"), entry(2, "fitted", "hull", "Tern"),
                     entry(3, "fitted", "hull", "Gull")};
    CHECK(entries_of_boat(rows, "Tern").size() == 2);
    CHECK(entries_of_boat(rows, "Gull").size() == 2);
    CHECK(entries_of_boat(rows, "").size() == 1);
    rows.push_back(entry(4, "weighed", "rudder", "Tern"));
    CHECK(boats_of(rows) == Boats{"Tern", "Tern", "Gull", "Tern"});
}

TEST_CASE("a place is given to the first boat that has none there yet") {
    const std::vector rows{entry(1, "fitted", "rudder", "Tern"), entry(2, "fitted", "hull", "Gull"),
                           entry(3, "fitted", "rudder"), entry(4, "fitted", "rudder", "Tern"),
                           entry(5, "weighed", "rudder", "Gull")};
    CHECK(boats_of(rows) == Boats{"Tern", "Gull", "Gull", "Tern", "Gull"});
}

TEST_CASE("a name that was mistyped and struck is no boat's") {
    const std::vector rows{entry(1, "fitted", "rudder", "Tren"), strike(2, 1),
                           entry(3, "fitted", "rudder", "Tern"), entry(4, "weighed", "rudder")};
    CHECK(only_boat(rows) == "Tern");
    CHECK(boats_of(rows) == Boats{"Tren", "Tren", "Tern", "Tern"});
}

TEST_CASE("of several boats none is the only one") {
    const std::vector rows{entry(1, "fitted", "rudder", "Tern"), entry(2, "fitted", "keel"),
                           entry(3, "fitted", "rudder", "Gull")};
    CHECK(only_boat(std::span(rows).first(2)) == "Tern");
    CHECK(only_boat(rows).empty());
    CHECK(named_boats(rows) == Boats{"Gull", "Tern"});
    CHECK(entries_of_boat(std::span(rows).first(2), "").size() == 2);
}
