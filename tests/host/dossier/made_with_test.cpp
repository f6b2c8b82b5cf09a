#include "dossier/made_with.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant at_s(std::int64_t unix_s) {
    return Instant{std::chrono::seconds{unix_s}};
}

/// Central European time in 2026: the changes of Directive 2000/84/EC, last Sundays of March and
/// October, 01:00 UTC.
std::vector<ZoneStretch> berlin() {
    return {{at_s(1'774'746'000), std::chrono::hours{2}, "CEST"},
            {at_s(1'792'890'000), std::chrono::hours{1}, "CET"}};
}

} // namespace

TEST_CASE("what a report was made with comes back out of its document") {
    const MadeWith with{"9.8", {"--hull=steel", "--up=\"\x01"}, at_s(7), berlin(), "f00d"};
    const auto again = parse_made_with(made_with_document(with));
    REQUIRE(again);
    CHECK(again->program == "9.8");
    CHECK(again->said == with.said);
    CHECK(again->clock == with.clock);
    CHECK(are_same(again->zone, with.zone));
    CHECK(again->zone.front().from == with.zone.front().from);
    CHECK(again->drawn_with == "f00d");
    CHECK(made_with_document(*again) == made_with_document(with));
}

TEST_CASE("UTC and a clock that says nothing new leave nothing behind") {
    CHECK(stretches_of(Zone()).empty());
    const auto again = parse_made_with(made_with_document({"1", {}, {}, {}, ""}));
    REQUIRE(again);
    CHECK_FALSE(again->clock);
    CHECK(again->zone.empty());
}

TEST_CASE("a document that says less, or of clocks that cannot be, is refused") {
    for (const char* each :
         {"", "[]", "{}", R"({"program": "1", "options": []})",
          R"({"program": "1", "options": [], "clock_ms": "x", "zone": [], "drawn_with": ""})",
          R"({"program": "1", "options": [], "clock_ms": null, "drawn_with": "",
              "zone": [{"from_ms": 0, "ahead_s": 90000, "abbreviation": "X"}]})",
          R"({"program": "1", "options": [], "clock_ms": null, "drawn_with": "",
              "zone": [{"from_ms": 0, "ahead_s": 0, "abbreviation": ""}]})",
          R"({"program": "1", "options": [], "clock_ms": null, "drawn_with": "",
              "zone": [{"from_ms": 9, "ahead_s": 0, "abbreviation": "A"},
                       {"from_ms": 8, "ahead_s": 60, "abbreviation": "B"}]})"}) {
        CAPTURE(each);
        const auto refused = parse_made_with(each);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_input);
        CHECK(refused.error().where == "options.json");
    }
}

TEST_CASE("zones are the same whenever their first stretch began, not when a change moved") {
    auto other = berlin();
    other.front().from -= std::chrono::hours{24};
    CHECK(are_same(berlin(), other));
    other.back().from += std::chrono::hours{1};
    CHECK_FALSE(are_same(berlin(), other));
    CHECK_FALSE(are_same(berlin(), {}));
    CHECK(are_same(stretches_of(Zone("Europe/Berlin", berlin())), berlin()));
}
