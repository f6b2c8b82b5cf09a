#include "series/decode.h"

#include "records.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

constexpr std::uint32_t noon = 1777896000; // 2026-05-04T12:00:00Z
const LoggerFacts facts{0x2a, circuit, {}};

Trace decoded(const std::vector<RecordBytes>& records) {
    return decode(records, facts).value();
}

std::string times_of(const Trace& trace) {
    std::string text;
    for (const Instant time : trace.time)
        text += to_text(time).substr(11) + ' ';
    return text;
}

} // namespace

TEST_CASE("a clock that jumped of itself is not believed: the seconds counted go on") {
    wire::ClockSet jump = clock_set(2, 15, noon + 15, noon - 3600);
    jump.by = static_cast<std::uint8_t>(wire::ClockSetBy::itself);
    wire::Reading after = reading(3, 20, 0);
    after.head.time_flags = wire::clock_jumped;
    const Trace trace = decoded(
        {bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(jump), bytes_of(after)});
    CHECK(times_of(trace) == "12:00:10Z 12:00:20Z ");
    CHECK_FALSE(has(trace.quality[0], Quality::clock_doubtful));
    CHECK(has(trace.quality[1], Quality::clock_doubtful));
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].kind == EventKind::clock_set);
    CHECK(trace.events[0].why ==
          "the clock jumped of itself; times go on by the seconds counted before (set it, and have "
          "the clock chip's battery looked at)");
}

TEST_CASE("a restart is an event, and the time goes on from the clock") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 bytes_of(boot(2, noon + 300, 2, wire::ResetCause::watchdog)),
                                 bytes_of(reading(3, 10, 0, 2))});
    CHECK(times_of(trace) == "12:00:10Z 12:05:10Z ");
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].kind == EventKind::restart);
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:05:00Z");
    CHECK(trace.events[0].why.starts_with("the logger restarted: its program hung"));
    CHECK(trace.quality[1] == Quality::uncalibrated); // nothing wrong with its time
}

TEST_CASE("a reading keeps the time when it was due, though other records came before it") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(check(1, 12, 0, 16384, 1)),
                                 bytes_of(reading(2, 10, 0)), bytes_of(reading(3, 20, 0))});
    CHECK(times_of(trace) == "12:00:10Z 12:00:20Z ");
    CHECK_FALSE(has(trace.quality[0], Quality::clock_doubtful));
}

TEST_CASE("setting the clock forward moves what follows") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                 bytes_of(clock_set(2, 15, noon + 15, noon + 75)), bytes_of(reading(3, 20, 0))});
    CHECK(times_of(trace) == "12:00:10Z 12:01:20Z ");
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].kind == EventKind::clock_set);
    CHECK(trace.events[0].why == "the clock was set forward by 1 min");
}

TEST_CASE("a clock set back moves what it counted before, by what the ticks know") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 bytes_of(clock_set(2, 15, noon + 15, noon)),
                                 bytes_of(reading(3, 20, 0)), bytes_of(reading(4, 30, 0))});
    CHECK(times_of(trace) == "11:59:55Z 12:00:05Z 12:00:15Z ");
    CHECK(has(trace.quality[0], Quality::clock_doubtful));
    CHECK_FALSE(has(trace.quality[1], Quality::clock_doubtful));
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:00Z");
    CHECK(trace.events[0].why == "the clock was set back by 15 s");
}

TEST_CASE("a clock set back by an hour leaves every reading its ten seconds") {
    std::vector<RecordBytes> records{bytes_of(arm(0, 0, noon))};
    for (std::uint32_t i = 1; i <= 1440; ++i) {
        if (i == 721) records.push_back(bytes_of(clock_set(720, 7200, noon + 7200, noon + 3600)));
        records.push_back(bytes_of(reading(i < 721 ? i : i + 1, 10 * i, 0)));
    }
    const Trace trace = decoded(records);
    REQUIRE(trace.time.size() == 1440);
    for (std::size_t i = 1; i < trace.time.size(); ++i)
        CHECK(trace.time[i] - trace.time[i - 1] == std::chrono::seconds{10});
    CHECK(to_text(trace.time.back()) == "2026-05-04T15:00:00Z");
}

TEST_CASE("a correction of a second moves what it counted before, and is no reason to doubt it") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                 bytes_of(clock_set(2, 15, noon + 15, noon + 14)), bytes_of(reading(3, 20, 0))});
    CHECK(times_of(trace) == "12:00:09Z 12:00:19Z ");
    CHECK(trace.quality[0] == Quality::uncalibrated);
}

TEST_CASE("a clock that was wrong through a restart is set right for both sides of it") {
    // An hour ahead until it is set back, 20 s into the second boot.
    wire::ClockSet set = clock_set(5, 20, noon + 120, noon - 3480);
    set.head.boot = 2;
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                 bytes_of(reading(2, 20, 0)), bytes_of(boot(3, noon + 100, 2)),
                 bytes_of(reading(4, 10, 0, 2)), bytes_of(set), bytes_of(reading(6, 30, 0, 2))});
    CHECK(times_of(trace) == "11:00:10Z 11:00:20Z 11:01:50Z 11:02:10Z ");
    CHECK(has(trace.quality[0], Quality::clock_doubtful));
    CHECK(has(trace.quality[2], Quality::clock_doubtful));
    CHECK_FALSE(has(trace.quality[3], Quality::clock_doubtful));
}

TEST_CASE("a clock set wrong and then right again leaves what came before both") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                 bytes_of(clock_set(2, 15, noon + 15, noon + 3615)), bytes_of(reading(3, 20, 0)),
                 bytes_of(clock_set(4, 25, noon + 3625, noon + 25)), bytes_of(reading(5, 30, 0))});
    CHECK(times_of(trace) == "12:00:10Z 12:00:20Z 12:00:30Z ");
    CHECK_FALSE(has(trace.quality[0], Quality::clock_doubtful));
    CHECK(has(trace.quality[1], Quality::clock_doubtful));
}

TEST_CASE("a clock that lost its time and is set to an earlier one moves the boot before it") {
    wire::ClockSet set = clock_set(4, 100, 0, noon - 3500);
    set.head.boot = 2;
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(boot(2, 0, 2)),
                 bytes_of(reading(3, 10, 0, 2)), bytes_of(set)});
    // The second boot began at 11:00:00; the first ends where it begins.
    CHECK(times_of(trace) == "11:00:00Z 11:00:10Z ");
    CHECK(has(trace.quality[0], Quality::clock_doubtful));
}

TEST_CASE("readings before the first setting of the clock count back from it") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, 0)), bytes_of(reading(1, 10, 0)),
                 bytes_of(clock_set(2, 100, 0, noon)), bytes_of(reading(3, 110, 0))});
    CHECK(times_of(trace) == "11:58:30Z 12:00:10Z ");
    CHECK(trace.events[0].why == "the time became known; the clock had none before");
}

TEST_CASE("a boot without a clock follows the one before and is marked") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(boot(2, 0, 2)),
                 bytes_of(reading(3, 10, 0, 2)), bytes_of(reading(4, 20, 0, 2))});
    CHECK(times_of(trace) == "12:00:10Z 12:00:20Z 12:00:30Z ");
    CHECK_FALSE(has(trace.quality[0], Quality::clock_doubtful));
    CHECK(has(trace.quality[1], Quality::clock_doubtful));
}

TEST_CASE("a boot without a clock precedes the one after when there is none before") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, 0)), bytes_of(reading(1, 10, 0)), bytes_of(reading(2, 20, 0)),
                 bytes_of(boot(3, noon, 2)), bytes_of(reading(4, 10, 0, 2))});
    CHECK(times_of(trace) == "11:59:50Z 12:00:00Z 12:00:10Z ");
    CHECK(has(trace.quality[0], Quality::clock_doubtful));
    CHECK_FALSE(has(trace.quality[2], Quality::clock_doubtful));
}

TEST_CASE("ticks from the watchdog make the time doubtful") {
    wire::Reading record = reading(1, 10, 0);
    record.head.time_flags = wire::ticks_from_watchdog;
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(record)});
    CHECK(has(trace.quality[0], Quality::clock_doubtful));
}

TEST_CASE("a logger whose clock was never set is refused with a remedy") {
    const auto trace =
        decode(std::vector{bytes_of(arm(0, 0, 0)), bytes_of(reading(1, 10, 0))}, facts);
    REQUIRE_FALSE(trace);
    CHECK(trace.error().what.find("clock was never set") != std::string::npos);
    CHECK_FALSE(trace.error().remedy.empty());
}

TEST_CASE("a ring that has overwritten its settings tells the time by its checks") {
    wire::Check first = check(257, 3700, 0, 0, 0);
    first.unix_s = noon + 3700;
    wire::Check second = check(259, 7300, 0, 0, 0);
    second.unix_s = noon + 7299; // read just before the second turned
    const std::vector records{bytes_of(sector_header(256, 3650)), bytes_of(first),
                              bytes_of(reading(258, 3710, 0)), bytes_of(second),
                              bytes_of(reading(260, 7310, 0))};
    const Trace trace = decoded(records);
    CHECK(times_of(trace) == "13:01:50Z 14:01:50Z ");
    CHECK_FALSE(has(trace.quality[0], Quality::clock_doubtful));
    CHECK(deployments_of(records)[0].armed_at == from_unix_s(noon + 3650));
}
