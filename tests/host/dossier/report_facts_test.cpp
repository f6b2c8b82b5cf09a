#include "dossier/report_facts.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

Note noted(const char* time) {
    return {0, at(time), time, "Ann", at("2026-06-01T00:00:00Z")};
}

Readings readings(std::vector<Instant> times) {
    Trace trace;
    trace.time = std::move(times);
    trace.potential_mv.assign(trace.time.size(), -900);
    return Readings(std::move(trace));
}

} // namespace

TEST_CASE("notes about the time of the readings are shown, and those of the day about it") {
    const std::vector<Note> notes{noted("2026-05-03T05:59:59Z"), noted("2026-05-03T06:00:00Z"),
                                  noted("2026-05-04T06:30:00Z"), noted("2026-05-05T07:00:00Z"),
                                  noted("2026-05-05T07:00:01Z")};
    const auto about =
        notes_about(notes, readings({at("2026-05-04T06:00:00Z"), at("2026-05-04T07:00:00Z")}));
    REQUIRE(about.size() == 3);
    CHECK(about.front().text == "2026-05-03T06:00:00Z");
    CHECK(about.back().text == "2026-05-05T07:00:00Z");
    CHECK(about.back().author == "Ann");
    CHECK(about.back().written_at == at("2026-06-01T00:00:00Z"));
}

TEST_CASE("without a reading every note is shown") {
    CHECK(notes_about({noted("2020-01-01T00:00:00Z")}, readings({})).size() == 1);
}
