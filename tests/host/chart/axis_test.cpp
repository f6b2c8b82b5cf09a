#include "chart/axis.h"

#include "base/known_time.h"
#include "scene_text.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

std::string labels(const std::vector<ValueTick>& ticks) {
    std::string text;
    for (const ValueTick& tick : ticks)
        text += tick.label + ' ';
    return text;
}

constexpr double length_mm = 110;
constexpr double size_mm = 2.8;

/// Central European time about 2026, by Directive 2000/84/EC.
const Zone middle("Europe/Somewhere", {{at("2025-10-26T01:00:00Z"), std::chrono::hours{1}, "CET"},
                                       {at("2026-03-29T01:00:00Z"), std::chrono::hours{2}, "CEST"},
                                       {at("2026-10-25T01:00:00Z"), std::chrono::hours{1}, "CET"}});

TimeTicks ticks(const char* from, const char* to, const Zone& zone = {}) {
    return time_ticks(at(from), at(to), zone, length_mm, size_mm, fake_text_width);
}

/// "label" or "label/context" of every major tick.
std::string labels(const TimeTicks& ticks) {
    std::string text;
    for (const TimeTick& tick : ticks.major) {
        text += tick.label;
        if (!tick.context.empty()) text += '/' + tick.context;
        text += ' ';
    }
    return text;
}

} // namespace

TEST_CASE("value ticks are round and no denser than asked") {
    CHECK(labels(value_ticks(-1150, -850, 80, 7)) == "−1150 −1100 −1050 −1000 −950 −900 −850 ");
    CHECK(labels(value_ticks(-1012, -988, 80, 7)) == "−1010 −1005 −1000 −995 −990 ");
    CHECK(labels(value_ticks(-0.3, 0.2, 80, 10)) == "−0.3 −0.2 −0.1 0.0 0.1 0.2 ");
    CHECK(labels(value_ticks(0, 90000, 80, 7)) ==
          "0 10000 20000 30000 40000 50000 60000 70000 80000 "
          "90000 ");
}

TEST_CASE("an axis without extent has no ticks") {
    CHECK(value_ticks(5, 5, 80, 7).empty());
    CHECK(value_ticks(5, 4, 80, 7).empty());
    CHECK(value_ticks(0, std::numeric_limits<double>::infinity(), 80, 7).empty());
}

TEST_CASE("a number for people has a real minus and never a negative zero") {
    CHECK(number_text(-870.4, 0) == "−870");
    CHECK(number_text(-0.4, 0) == "0");
    CHECK(number_text(-0.4, 1) == "−0.4");
}

TEST_CASE("a week is labelled by days, with the year below the first") {
    CHECK(labels(ticks("2026-05-04T00:00:00Z", "2026-05-10T23:59:50Z")) ==
          "4 May/2026 5 May 6 May 7 May 8 May 9 May 10 May ");
}

TEST_CASE("a day is labelled by hours, with the date below the first and below midnight") {
    CHECK(labels(ticks("2026-05-04T10:30:00Z", "2026-05-05T10:30:00Z")) ==
          "12:00/2026-05-04 15:00 18:00 21:00 00:00/2026-05-05 03:00 06:00 09:00 ");
}

TEST_CASE("where two dates would touch, the one at midnight stays") {
    CHECK(labels(ticks("2026-05-04T22:30:00Z", "2026-05-05T05:30:00Z")) ==
          "23:00 00:00/2026-05-05 01:00 02:00 03:00 04:00 05:00 ");
}

TEST_CASE("minutes, seconds, months and years have their own steps") {
    CHECK(labels(ticks("2026-05-04T00:00:00Z", "2026-05-04T00:05:00Z")) ==
          "00:00/2026-05-04 00:01 00:02 00:03 00:04 00:05 ");
    CHECK(labels(ticks("2026-05-04T00:00:00Z", "2026-05-04T00:00:20Z")) ==
          "00:00:00/2026-05-04 00:00:05 00:00:10 00:00:15 00:00:20 ");
    CHECK(labels(ticks("2026-05-04T00:00:00Z", "2027-03-04T00:00:00Z")) ==
          "Jun/2026 Jul Aug Sep Oct Nov Dec Jan/2027 Feb Mar ");
    CHECK(labels(ticks("2020-05-04T00:00:00Z", "2029-03-04T00:00:00Z")) ==
          "2021 2022 2023 2024 2025 2026 2027 2028 2029 ");
}

TEST_CASE("minor ticks divide the major ones") {
    const TimeTicks two_days = ticks("2026-05-04T00:00:00Z", "2026-05-06T00:00:00Z");
    CHECK(two_days.major.size() == 9);  // every 6 hours
    CHECK(two_days.minor.size() == 49); // every hour
}

TEST_CASE("days begin at midnight by the clocks of the zone, through a change") {
    const TimeTicks found = ticks("2026-03-26T12:00:00Z", "2026-04-01T12:00:00Z", middle);
    CHECK(labels(found) == "27 Mar/2026 28 Mar 29 Mar 30 Mar 31 Mar 1 Apr ");
    REQUIRE(found.major.size() == 6);
    CHECK(found.major[2].time == at("2026-03-28T23:00:00Z"));
    CHECK(found.major[3].time == at("2026-03-29T22:00:00Z")); // a day of 23 hours
}

TEST_CASE("an hour that comes twice has its tick twice, one that is left out has none") {
    CHECK(labels(ticks("2026-10-24T23:00:00Z", "2026-10-25T05:00:00Z", middle)) ==
          "01:00/2026-10-25 02:00 02:00 03:00 04:00 05:00 06:00 ");
    CHECK(labels(ticks("2026-03-28T23:00:00Z", "2026-03-29T05:00:00Z", middle)) ==
          "00:00/2026-03-29 01:00 03:00 04:00 05:00 06:00 07:00 ");
}

TEST_CASE("where the change brings two labels too close, the later tick has none") {
    CHECK(labels(ticks("2026-10-24T22:00:00Z", "2026-10-25T12:00:00Z", middle)) ==
          "00:00/2026-10-25 02:00  04:00 06:00 08:00 10:00 12:00 ");
}

TEST_CASE("a day that begins without its midnight is marked where it begins") {
    // Clocks go from 24:00 to 01:00, as they have in several countries.
    const Zone zone("Invented/Midnight",
                    {{at("2026-03-01T00:00:00Z"), std::chrono::hours{2}, "IT"},
                     {at("2026-03-28T22:00:00Z"), std::chrono::hours{3}, "IST"}});
    const TimeTicks found = ticks("2026-03-26T12:00:00Z", "2026-04-01T12:00:00Z", zone);
    CHECK(labels(found) == "27 Mar/2026 28 Mar 29 Mar 30 Mar 31 Mar 1 Apr ");
    CHECK(found.major[2].time == at("2026-03-28T22:00:00Z"));
}

TEST_CASE("the title of the time axis says whose clocks, and when they change") {
    CHECK(time_title(at("2026-05-04T00:00:00Z"), at("2026-05-05T00:00:00Z"), {}) == "Time, UTC");
    CHECK(time_title(at("2026-05-04T00:00:00Z"), at("2026-05-05T00:00:00Z"), middle) ==
          "Time in Europe/Somewhere: CEST, UTC+2");
    CHECK(time_title(at("2026-10-24T00:00:00Z"), at("2026-10-26T00:00:00Z"), middle) ==
          "Time in Europe/Somewhere: CEST, UTC+2; from 2026-10-25 02:00 CET, UTC+1");
    CHECK(time_title(at("2026-01-01T00:00:00Z"), at("2026-12-31T00:00:00Z"), middle) ==
          "Time in Europe/Somewhere: CET, UTC+1; CEST, UTC+2");
}

TEST_CASE("no two labels of a time axis touch, from seconds to centuries and through changes") {
    for (const char* begin :
         {"2026-02-27T21:47:13Z", "2026-03-28T21:47:13Z", "2026-10-24T21:47:13Z"})
        for (const Zone& zone : {Zone(), middle})
            for (int step = 0; step < 128; ++step) {
                CAPTURE(begin);
                CAPTURE(zone.name());
                const Instant from = at(begin);
                const double span_s = 5 * std::pow(1.17, step); // up to 80 years
                CAPTURE(span_s);
                const Instant to = from + Milliseconds{static_cast<std::int64_t>(span_s * 1000)};
                const TimeTicks found =
                    time_ticks(from, to, zone, length_mm, size_mm, fake_text_width);
                CHECK(found.major.size() >= 1);
                CHECK(found.major.size() <= 20);
                CHECK(found.minor.size() <= 400);
                double label_end = -1000;
                double context_end = -1000;
                for (const TimeTick& tick : found.major) {
                    const double x = length_mm * seconds_between(from, tick.time) / span_s;
                    if (tick.label.empty()) continue;
                    const double label = fake_text_width(tick.label, size_mm, false) / 2;
                    CHECK(x - label > label_end);
                    label_end = x + label;
                    if (tick.context.empty()) continue;
                    const double context = fake_text_width(tick.context, size_mm, false) / 2;
                    CHECK(x - context > context_end);
                    context_end = x + context;
                }
            }
}

TEST_CASE("a time axis ends, whatever it is asked to show") {
    for (const Zone& zone : {Zone(), middle}) {
        const TimeTicks all = time_ticks(earliest_instant, latest_instant + std::chrono::days{1},
                                         zone, length_mm, size_mm, fake_text_width);
        CHECK(all.major.size() <= 162); // every 50 years
        CHECK(all.minor.size() <= 804);
        // To the last day of a calendar of 16 bits: every 50 years from 10000 to 32750.
        const Instant end = std::chrono::sys_days{std::chrono::year::max() / 12 / 31};
        CHECK(time_ticks(at("9999-06-01T00:00:00Z"), end, zone, length_mm, size_mm, fake_text_width)
                  .major.size() == 456);
    }
}

TEST_CASE("an axis tells a scale: two ticks at least, however they fall") {
    for (double low = 0.05; low < 1; low += 0.013)
        for (const double range : {0.02, 0.3, 1.0, 1.7, 2.0, 1999.0})
            for (const double place_mm : {14.0, 60.0}) {
                CAPTURE(low);
                CAPTURE(range);
                CHECK(value_ticks(low, low + range, place_mm, 5).size() >= 2);
            }
}

TEST_CASE("a time axis has two labels at least, by leaving out those that would touch") {
    const Instant from = at("2026-05-04T06:00:07Z");
    for (std::int64_t span_s = 10; span_s < 400'000'000; span_s = span_s * 21 / 20 + 1) {
        const TimeTicks found = time_ticks(from, from + std::chrono::seconds{span_s}, middle, 68,
                                           size_mm, fake_text_width);
        CAPTURE(span_s);
        CHECK(std::ranges::count_if(found.major,
                                    [](const TimeTick& tick) { return !tick.label.empty(); }) >= 2);
    }
}
