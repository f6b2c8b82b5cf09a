#include "judging/date_to_come.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

WhenDone day(const char* text) {
    const Instant begins = parse_instant(std::string(text) + "T00:00:00Z").value();
    return {begins, begins + std::chrono::days{1}, text};
}

const Instant now = parse_instant("2026-05-04T12:00:00Z").value();

} // namespace

TEST_CASE("what was done until today, by whichever clock, is no slip of the pen") {
    Vessel vessel;
    CHECK_FALSE(date_to_come(vessel, now, "tern.toml"));
    vessel.launched = day("2026-05-05"); // it has begun in Auckland
    vessel.anodes = {{"shaft", "zinc", {}, day("2026-05-04")}};
    CHECK_FALSE(date_to_come(vessel, now, "tern.toml"));
}

TEST_CASE("a launch or a fitting that is to come is named, with the file") {
    Vessel vessel;
    vessel.launched = day("2026-05-06");
    const auto launch = date_to_come(vessel, now, "tern.toml");
    REQUIRE(launch);
    CHECK(launch->code == ErrorCode::wrong_input);
    CHECK(launch->what == "the launch, 2026-05-06, lies in the future");
    CHECK(launch->where == "tern.toml");
    vessel.launched.reset();
    vessel.anodes = {{"shaft", "zinc", {}, day("2027-05-04")}};
    CHECK(date_to_come(vessel, now, "tern.toml")->what ==
          "the fitting of anode \"shaft\", 2027-05-04, lies in the future");
}
