#include "judging/zone_from.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

std::vector<std::string> changes_of(const char* name, const char* from, const char* to) {
    const auto zone = zone_named(name, at(from), at(to));
    REQUIRE(zone);
    std::vector<std::string> found;
    for (const ZoneStretch& each : zone->changes(at(from), at(to)))
        found.push_back(to_text(each.from) + ' ' + to_words(each));
    return found;
}

} // namespace

TEST_CASE(
    "clocks of the European Union change on the last Sundays of March and October, 01:00 UTC") {
    // Directive 2000/84/EC, articles 2 and 3.
    CHECK(changes_of("Europe/Amsterdam", "2026-01-01T00:00:00Z", "2026-12-31T00:00:00Z") ==
          std::vector<std::string>{"2026-03-29T01:00:00Z CEST, UTC+2",
                                   "2026-10-25T01:00:00Z CET, UTC+1"});
}

TEST_CASE(
    "clocks of New York change at 02:00 on the second Sunday of March, the first of November") {
    // Energy Policy Act of 2005, section 110; 02:00 is 07:00 UTC in winter, 06:00 in summer.
    CHECK(changes_of("America/New_York", "2026-01-01T00:00:00Z", "2026-12-31T00:00:00Z") ==
          std::vector<std::string>{"2026-03-08T07:00:00Z EDT, UTC−4",
                                   "2026-11-01T06:00:00Z EST, UTC−5"});
}

TEST_CASE("UTC has no change, and one day may be asked for as well as ten years") {
    CHECK(changes_of("UTC", "2026-01-01T00:00:00Z", "2026-12-31T00:00:00Z").empty());
    CHECK(changes_of("Europe/Amsterdam", "2026-05-04T06:00:00Z", "2026-05-04T06:00:00Z").empty());
    CHECK(changes_of("Europe/Amsterdam", "2026-01-01T00:00:00Z", "2035-12-31T00:00:00Z").size() ==
          20);
}

TEST_CASE("a zone that nobody knows is refused with where to look") {
    for (const char* name : {"Europe/Nowhere", "", "../../etc/passwd", "CEST+2"}) {
        CAPTURE(name);
        const auto zone = zone_named(name, Instant{}, Instant{});
        REQUIRE_FALSE(zone);
        CHECK(zone.error().code == ErrorCode::wrong_usage);
        CHECK(zone.error().where == "--zone");
        CHECK(zone.error().remedy.find("zoneinfo") != std::string::npos);
    }
}
