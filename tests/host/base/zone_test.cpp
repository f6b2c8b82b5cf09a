#include "base/zone.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace std::chrono_literals;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

/// Central European time about 2026, by Directive 2000/84/EC: the last Sundays of March and October
/// at 01:00 UTC.
const Zone middle("Europe/Somewhere", {{at("2025-10-26T01:00:00Z"), 1h, "CET"},
                                       {at("2026-03-29T01:00:00Z"), 2h, "CEST"},
                                       {at("2026-10-25T01:00:00Z"), 1h, "CET"}});

LocalTime clock(std::chrono::sys_days day, Milliseconds time) {
    return LocalTime{day.time_since_epoch() + time};
}

constexpr std::chrono::sys_days spring{std::chrono::year{2026} / 3 / 29};
constexpr std::chrono::sys_days autumn{std::chrono::year{2026} / 10 / 25};

} // namespace

TEST_CASE("instants in a text are shown by the clocks, all else stays as it is") {
    CHECK(with_times_in("low, until 2026-03-29T01:00:00Z; then 2026-10-25T01:00:00.250Z", middle) ==
          "low, until 2026-03-29 03:00:00 CEST; then 2026-10-25 02:00:00 CET");
    for (const char* other : {"", "2026-03-29", "2026-03-29T01:00:00", "2026-03-29T01:00:00+01:00",
                              "Z", "12026-03-29T01:00:00Z", "2026-13-29T01:00:00Z",
                              "2026-03-29T01:00:00.25Z", "2026-03-29T01:00:0xZ", "\xC3\xA9, 7 mV"})
        CHECK(with_times_in(other, middle) == other);
}

TEST_CASE("what the clocks show before, at and after a change") {
    CHECK(to_words(at("2026-03-29T00:59:59Z"), middle) == "2026-03-29 01:59:59 CET");
    CHECK(to_words(at("2026-03-29T01:00:00Z"), middle) == "2026-03-29 03:00:00 CEST");
    CHECK(to_words(at("2026-10-25T00:59:59Z"), middle) == "2026-10-25 02:59:59 CEST");
    CHECK(to_words(at("2026-10-25T01:00:00Z"), middle) == "2026-10-25 02:00:00 CET");
    CHECK(to_words(at("2001-01-01T00:00:00Z"), middle) == "2001-01-01 01:00:00 CET");
    CHECK(to_words(at("2026-05-04T06:00:00.9Z"), Zone()) == "2026-05-04 06:00:00 UTC");
}

TEST_CASE("of an hour that comes twice the first counts, of one that is left out its end") {
    CHECK(middle.instant(clock(autumn, 2h + 30min)) == at("2026-10-25T00:30:00Z"));
    CHECK(middle.instant(clock(autumn, 3h)) == at("2026-10-25T02:00:00Z"));
    CHECK(middle.instant(clock(spring, 2h + 30min)) == at("2026-03-29T01:00:00Z"));
    CHECK(middle.instant(clock(spring, 3h)) == at("2026-03-29T01:00:00Z"));
    CHECK(middle.instant(clock(spring, 4h)) == at("2026-03-29T02:00:00Z"));
}

TEST_CASE("the changes of a time span") {
    CHECK(middle.changes(at("2026-01-01T00:00:00Z"), at("2026-12-31T00:00:00Z")).size() == 2);
    CHECK(middle.changes(at("2026-03-29T01:00:00Z"), at("2026-10-25T00:59:59Z")).empty());
    CHECK(Zone().changes(Instant::min(), Instant::max()).empty());
}

TEST_CASE("a stretch of time in words") {
    CHECK(to_words(ZoneStretch{{}, 2h, "CEST"}) == "CEST, UTC+2");
    CHECK(to_words(ZoneStretch{{}, -3h - 30min, "NST"}) == "NST, UTC−3:30");
    CHECK(to_words(ZoneStretch{{}, 0s, "GMT"}) == "GMT, UTC");
    CHECK(to_words(ZoneStretch{{}, 8h, "+08"}) == "UTC+8");
    CHECK(to_words(ZoneStretch{{}, 0s, "UTC"}) == "UTC");
}
