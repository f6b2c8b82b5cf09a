#include "judging/entry_corrections.h"

#include "judging/correction_text.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace std::chrono_literals;

namespace {

const Instant start = *parse_instant("2026-05-04T06:00:00Z");

/// One a minute from six on, numbered from 100 on.
Readings half_an_hour() {
    Trace trace;
    for (int minute = 0; minute < 30; ++minute) {
        trace.time.push_back(start + std::chrono::minutes{minute});
        trace.potential_mv.push_back(-990);
        trace.sequence.push_back(static_cast<std::uint32_t>(100 + minute));
    }
    return Readings(std::move(trace));
}

/// Of deployment 1, from the one minute to the other, both included; `shown_later` by then.
KnownCorrection correction(std::int64_t number, Change change, std::uint32_t from, std::uint32_t to,
                           Milliseconds shown_later = 0ms) {
    CorrectionRow row;
    row.number = number;
    row.part = {{false, 7, 1, 100 + from}, 100 + to, false, false};
    row.kind = kind_of(change);
    row.value = value_of(change);
    row.from = start + std::chrono::minutes{from} + shown_later;
    row.to = start + std::chrono::minutes{to} + shown_later;
    row.why = "clock looked at";
    row.author = "Ann";
    row.written_at = start;
    return {row, change, 1, {}};
}

std::vector<KnownCorrection> told(std::vector<KnownCorrection> corrections) {
    tell_by_present_clock(corrections, 1, half_an_hour());
    return corrections;
}

StretchTimes minutes(int from, int to, Milliseconds later = 0ms) {
    return {start + std::chrono::minutes{from} + later, start + std::chrono::minutes{to} + later};
}

} // namespace

TEST_CASE("a stretch that was written by a clock that was put back since is told by both") {
    auto moved = correction(1, MovedTimes{1h}, 0, 29);
    moved.row.part.from_start = moved.row.part.to_end = true;
    moved.withdrawn_by = 3;
    const auto left_out = correction(2, LeftOut{}, 10, 14, 1h);
    const auto all = told({moved, left_out});
    CHECK_FALSE(all[0].now);
    CHECK(all[1].now == minutes(10, 14));
    const std::string text = correction_text(all[1]);
    CHECK(text.find("2026-05-04T06:10:00Z to 2026-05-04T06:14:00Z (2026-05-04T07:10:00Z to "
                    "2026-05-04T07:14:00Z by the clock as it stood when this was written): "
                    "readings left out") != std::string::npos);
    const boost::json::value json = corrections_json(all)[1];
    CHECK(json.at("from").as_string() == "2026-05-04T07:10:00Z");
    CHECK(json.at("now").at("to").as_string() == "2026-05-04T06:14:00Z");
}

TEST_CASE("a stretch is told once where its clock is the same, whatever was moved elsewhere") {
    const auto before = correction(1, MovedTimes{-1h}, 0, 9);
    auto of_another = correction(2, MovedTimes{2h}, 0, 29);
    of_another.deployment = 2;
    const auto all = told({before, of_another, correction(3, LeftOut{}, 10, 14)});
    CHECK(all[0].now == minutes(0, 9, -1h));
    CHECK_FALSE(all[1].now);
    CHECK_FALSE(all[2].now);
    CHECK(correction_text(all[2]).find("by the clock") == std::string::npos);
}

TEST_CASE("a stretch whose readings are moved since, at one end only, is told by both clocks") {
    const auto moved = correction(2, MovedTimes{90s}, 12, 29);
    CHECK(told({correction(1, LeftOut{}, 10, 14), moved})[0].now ==
          StretchTimes{start + 10min, start + 14min + 90s});
    // An end that is that of the trace is told by no time.
    auto to_the_end = correction(1, LeftOut{}, 10, 14);
    to_the_end.row.part.to_end = true;
    CHECK_FALSE(told({to_the_end, moved})[0].now);
}

TEST_CASE("a stretch of which no reading is left is told as it was written") {
    CHECK_FALSE(told({correction(1, LeftOut{}, 40, 44, 1h)})[0].now);
    std::vector<KnownCorrection> none{correction(1, LeftOut{}, 10, 14, 1h)};
    tell_by_present_clock(none, 1, Readings());
    CHECK_FALSE(none[0].now);
}
