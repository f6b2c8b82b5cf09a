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

TEST_CASE("missing sequence numbers are a gap that counts what is lost") {
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 bytes_of(reading(3, 30, 0)), bytes_of(reading(10, 100, 0))});
    REQUIRE(trace.events.size() == 2);
    CHECK(trace.events[0].kind == EventKind::gap);
    CHECK(trace.events[0].why == "1 record torn or lost");
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:10Z");
    CHECK(trace.events[1].why == "6 records torn or lost");
}

TEST_CASE("a number that the logger gave to no record is no gap") {
    const std::vector records{bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                              bytes_of(reading(3, 30, 0)), bytes_of(reading(6, 60, 0))};
    const std::vector<SequenceRange> spent{{2, 1}, {5, 1}};
    const Trace trace = decode(records, facts, spent).value();
    REQUIRE(trace.events.size() == 1);
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:30Z");
    CHECK(trace.events[0].why == "1 record torn or lost");
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

TEST_CASE("nothing whole among the records is an error, an arming without readings is not") {
    CHECK_FALSE(decode({}, facts));
    CHECK_FALSE(decode(std::vector{RecordBytes{}}, facts));
    CHECK(decoded({bytes_of(arm(0, 0, noon))}).time.empty());
}

TEST_CASE("a recording that was stopped tells why and when") {
    wire::Stop full = stop(2, 20);
    full.reason = static_cast<std::uint8_t>(wire::StopReason::memory_full);
    const auto filled =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(full)}).ended;
    REQUIRE(filled);
    CHECK(filled->why == "stopped: memory full");
    CHECK(to_text(filled->time) == "2026-05-04T12:00:20Z");
    wire::Stop asked = stop(2, 20);
    asked.reason = static_cast<std::uint8_t>(wire::StopReason::asked);
    CHECK(decoded({bytes_of(arm(0, 0, noon)), bytes_of(asked)}).ended->why ==
          "stopped by the user");
    CHECK_FALSE(decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0))}).ended);
}

TEST_CASE("low cells pause a recording: with fresh ones it goes on, and the gap says why") {
    wire::Stop low = stop(2, 20);
    low.reason = static_cast<std::uint8_t>(wire::StopReason::battery_low);
    const std::vector paused{bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(low)};
    CHECK(decoded(paused).ended->why ==
          "stopped: battery low (fresh cells make it go on by itself)");
    auto resumed = paused;
    resumed.push_back(bytes_of(boot(3, noon + 900, 2)));
    resumed.push_back(bytes_of(reading(4, 10, 0, 2)));
    const Trace trace = decoded(resumed);
    CHECK(trace.time.size() == 2);
    CHECK_FALSE(trace.ended);
    REQUIRE(trace.events.size() == 2);
    CHECK(trace.events[0].kind == EventKind::gap);
    CHECK(trace.events[0].why.starts_with("stopped: battery low"));
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:20Z");
    CHECK(trace.events[1].kind == EventKind::restart);
    CHECK(trace.events[1].why.starts_with("the logger restarted: power came back"));
}

TEST_CASE("a clock chip that is lost is told once, where it was lost") {
    const auto rough = [](std::uint32_t sequence, std::uint32_t ticks_s, std::uint8_t flags) {
        wire::Reading record = reading(sequence, ticks_s, 0);
        record.head.time_flags = flags;
        return bytes_of(record);
    };
    std::uint8_t flag = 0;
    std::string why;
    SUBCASE("it does not answer") {
        flag = wire::ticks_from_watchdog;
        why = "the clock chip does not answer or stands still";
    }
    SUBCASE("it has lost its power") {
        flag = wire::clock_lost_power;
        why = "the clock chip has stood still or lost its power";
    }
    const Trace trace = decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)),
                                 rough(2, 20, flag), rough(3, 30, flag), rough(4, 40, 0)});
    REQUIRE(trace.events.size() == 1);
    CHECK(trace.events[0].kind == EventKind::clock_set);
    CHECK(trace.events[0].why.starts_with(why));
    CHECK(to_text(trace.events[0].time) == "2026-05-04T12:00:20Z");
    CHECK(has(trace.quality[1], Quality::clock_doubtful));
}

TEST_CASE("what the logger notes after it stopped is not part of the trace") {
    const Trace trace =
        decoded({bytes_of(arm(0, 0, noon)), bytes_of(reading(1, 10, 0)), bytes_of(stop(2, 20)),
                 bytes_of(boot(4, noon + 900, 2)), bytes_of(clock_set(5, 1000, noon, noon))});
    CHECK(trace.time.size() == 1);
    CHECK(trace.events.empty());
}

TEST_CASE("a trace knows the calibration that its readings rest on") {
    wire::Calibration calibration{};
    calibration.flags = wire::calibration_valid | wire::calibration_two_temperatures;
    calibration.reference_code_x16 = 16384 * 16;
    calibration.uncertainty_uv = 650;
    calibration.unix_s = 1000;
    calibration.due_unix_s = 2000;
    const std::vector records{bytes_of(arm(1, 0, 1777874400)), bytes_of(reading(2, 10, 16000))};
    const auto trace = decode(records, {1, circuit, calibration});
    REQUIRE(trace);
    REQUIRE(trace->calibration);
    CHECK(trace->calibration->meter.two_temperatures);
    CHECK(trace->calibration->meter.instrument_expanded_mv == 0.65);
    CHECK(trace->calibration->at == from_unix_s(1000));
    CHECK(trace->calibration->due == from_unix_s(2000));
    CHECK_FALSE(decode(records, {1, circuit, {}})->calibration);
}
