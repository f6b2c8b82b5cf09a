#include "series/decode.h"

#include "records.h"

#include <cmath>
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

TEST_CASE("readings count their time from the arming") {
    const Trace trace =
        decoded({bytes_of(sector_header(128, 500)), bytes_of(arm(129, 500, noon)),
                 bytes_of(reading(130, 510, 13920)), bytes_of(reading(131, 520, 13936))});
    CHECK(trace.name == "logger 0000002a");
    CHECK_FALSE(trace.cell_scale); // the logger does not know which cell hangs on it
    CHECK(to_text(trace.time[0]) == "2026-05-04T12:00:10Z");
    CHECK(to_text(trace.time[1]) == "2026-05-04T12:00:20Z");
    CHECK(trace.potential_mv[0] == doctest::Approx(-870));
    CHECK(trace.potential_mv[1] == doctest::Approx(-871));
    CHECK(trace.quality[0] == Quality::uncalibrated);
    CHECK(trace.events.empty());
}

TEST_CASE("a column that was never measured is left out") {
    wire::Reading warm = reading(2, 20, 0);
    warm.water = 8192;
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(warm)});
    CHECK(trace.cell_b_mv.empty());
    CHECK(trace.battery_mv.empty());
    CHECK(std::isnan(trace.temperature_c[0]));
    CHECK(trace.temperature_c[1] == doctest::Approx(25));
}

TEST_CASE("the latest check before a reading gives its zero, the first one before any") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 1600)),
                 bytes_of(check(2, 11, 16, 16384, 1)), bytes_of(reading(3, 20, 1600)),
                 bytes_of(check(4, 21, 64, 32768, 2)), bytes_of(reading(5, 30, 1600))});
    CHECK(trace.potential_mv[0] == doctest::Approx(-99));
    CHECK(trace.potential_mv[1] == doctest::Approx(-99));
    CHECK(trace.potential_mv[2] == doctest::Approx(-98));
}

TEST_CASE("a restart is an event, and the time goes on from the clock") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 bytes_of(boot(2, noon + 300, 2, wire::ResetCause::watchdog)),
                                 bytes_of(reading(3, 10, 0, 2))});
    CHECK(times_of(trace) == "12:00:10Z 12:05:10Z ");
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].kind == EventKind::restart);
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:05:00Z");
    CHECK(trace.events[0].why == "the logger restarted: watchdog");
    CHECK(trace.quality[1] == Quality::uncalibrated); // nothing wrong with its time
}

TEST_CASE("missing sequence numbers are a gap that counts what is lost") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 bytes_of(reading(3, 30, 0)), bytes_of(reading(10, 100, 0))});
    REQUIRE(trace.events.size() == 2);
    CHECK(trace.events[0].kind == EventKind::gap);
    CHECK(trace.events[0].why == "1 record torn or lost");
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:10Z");
    CHECK(trace.events[1].why == "6 records torn or lost");
}

TEST_CASE("sector headers hold a number too, so passing one is no gap") {
    const Trace trace = decoded({bytes_of(arm(126, 0, noon)), bytes_of(reading(127, 10, 0)),
                                 bytes_of(sector_header(128, 20)), bytes_of(reading(129, 20, 0))});
    CHECK(trace.events.empty());
}

TEST_CASE("sequence numbers may wrap") {
    const Trace trace =
        decoded({bytes_of(arm(0xFFFFFFFE, 0, noon)), bytes_of(reading(0xFFFFFFFF, 10, 0)),
                 bytes_of(reading(0, 20, 0)), bytes_of(reading(2, 40, 0))});
    CHECK(trace.time.size() == 3);
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].why == "1 record torn or lost");
}

TEST_CASE("a torn record is passed over and counted as lost, a doubled one only once") {
    RecordBytes torn = bytes_of(reading(2, 20, 0));
    torn[20] ^= 0x40;
    const RecordBytes last = bytes_of(reading(3, 30, 0));
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), torn, last, last});
    CHECK(trace.time.size() == 2);
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].why == "1 record torn or lost");
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

TEST_CASE("a logger whose clock was never set is refused with a remedy") {
    const auto trace =
        decode(std::vector{bytes_of(arm(0, 0, 0)), bytes_of(reading(1, 10, 0))}, facts);
    REQUIRE_FALSE(trace);
    CHECK(trace.error().what.find("clock was never set") != std::string::npos);
    CHECK_FALSE(trace.error().remedy.empty());
}

TEST_CASE("nothing whole among the records is an error, an arming without readings is not") {
    CHECK_FALSE(decode({}, facts));
    CHECK_FALSE(decode(std::vector{RecordBytes{}}, facts));
    CHECK(decoded({bytes_of(arm(0, 0, noon))}).time.empty());
}

TEST_CASE("a recording that was stopped tells why and when") {
    wire::Stop full = stop(2, 20);
    full.reason = static_cast<std::uint8_t>(wire::StopReason::memory_full);
    CHECK(decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(full)}).ended ==
          "stopped: memory full, 2026-05-04T12:00:20Z");
    wire::Stop asked = stop(2, 20);
    asked.reason = static_cast<std::uint8_t>(wire::StopReason::asked);
    CHECK(decoded({bytes_of(arm(0, 0, noon)), bytes_of(asked)}).ended ==
          "stopped by the user, 2026-05-04T12:00:20Z");
    CHECK(decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0))}).ended.empty());
}

TEST_CASE("what the logger notes after it stopped is not part of the trace") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(stop(2, 20)),
                 bytes_of(boot(4, noon + 900, 2)), bytes_of(clock_set(5, 1000, noon, noon))});
    CHECK(trace.time.size() == 1);
    CHECK(trace.events.empty());
}

TEST_CASE("every arming begins a deployment, with the sector header before it") {
    const std::vector<RecordBytes> records{
        bytes_of(boot(1, noon, 1)),       bytes_of(sector_header(128, 5)),
        bytes_of(arm(129, 5, noon)),      bytes_of(reading(130, 10, 0)),
        bytes_of(reading(131, 20, 0)),    bytes_of(stop(132, 30)),
        bytes_of(sector_header(256, 40)), bytes_of(arm(257, 40, noon + 40)),
        bytes_of(reading(258, 50, 0)),
    };
    const auto found = deployments_of(records);
    REQUIRE(found.size() == 2);
    CHECK(found[0].number == 1);
    CHECK(found[0].first == 1);
    CHECK(found[0].count == 5);
    CHECK(found[0].readings == 2);
    CHECK(found[0].armed_at == from_unix_s(noon));
    CHECK(found[0].interval_s == 10);
    CHECK(found[1].number == 2);
    CHECK(found[1].first == 6);
    CHECK(found[1].count == 3);
    const auto second = decode(std::span(records).subspan(found[1].first, found[1].count), facts);
    REQUIRE(second);
    CHECK(second->events.empty());
}

TEST_CASE("a ring that has overwritten its arming is a deployment all the same") {
    const auto found = deployments_of(
        std::vector{bytes_of(sector_header(256, 40)), bytes_of(reading(257, 50, 0))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].count == 2);
    CHECK(found[0].interval_s == 60);
    CHECK_FALSE(found[0].armed_at);
}

TEST_CASE("a deployment whose arming is overwritten begins with its first record") {
    const auto found =
        deployments_of(std::vector{bytes_of(sector_header(256, 40)), bytes_of(reading(257, 50, 0)),
                                   bytes_of(clock_set(258, 60, noon + 55, noon + 60))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].armed_at == from_unix_s(noon + 40));
}

TEST_CASE("an arming before the clock was set is dated by the setting that follows") {
    const auto found = deployments_of(std::vector{
        bytes_of(arm(0, 5, 0)), bytes_of(reading(1, 10, 0)), bytes_of(clock_set(2, 105, 0, noon))});
    REQUIRE(found.size() == 1);
    CHECK(found[0].armed_at == from_unix_s(noon - 100));
}

TEST_CASE("a logger that was never armed has no deployment") {
    CHECK(deployments_of(std::vector{bytes_of(boot(1, noon, 1))}).empty());
    CHECK(deployments_of({}).empty());
}
