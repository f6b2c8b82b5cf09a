#include "series/judged.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

constexpr double uncertainty_mv = 10;

Rule rule(Band band, bool over_destroys) {
    Criterion criterion;
    criterion.protected_from_mv = band.protected_from_mv;
    criterion.over_at_mv = band.over_at_mv;
    return {criterion, band, 0, true, over_destroys, over_destroys, false};
}

/// Protected from -800 to -1100 mV.
Rules rules(bool over_destroys = false) {
    return {{rule({-800, -1100}, over_destroys)}, {}, {}};
}

Trace every_10_s(std::size_t count) {
    Trace trace;
    for (std::size_t i = 0; i < count; ++i)
        trace.time.push_back(from_unix_s(static_cast<std::int64_t>(10 * i)));
    trace.potential_mv.assign(count, missing_value);
    return trace;
}

JudgedTrace judged(const Trace& trace, const std::vector<double>& each_mv,
                   const Rules& by = rules(), double worst_share = default_worst_share) {
    const std::vector<ByConstants> standard_mv(each_mv.begin(), each_mv.end());
    const std::vector<double> expanded(standard_mv.size(), uncertainty_mv);
    return judge_trace(trace, by, standard_mv, expanded, worst_share);
}

std::vector<double> values(std::size_t count, double value) {
    return std::vector(count, value);
}

std::vector<double> joined(std::vector<double> a, const std::vector<double>& b) {
    a.insert(a.end(), b.begin(), b.end());
    return a;
}

} // namespace

TEST_CASE("shares are fractions of the time covered") {
    const std::vector<double> standard{-700, -900, -900, -900, -805, -1200, missing_value, -900};
    const JudgedTrace found = judged(every_10_s(8), standard);
    CHECK(found.covered_s == 80);
    CHECK(found.share.under_protected == 0.125);
    CHECK(found.share.protected_ == 0.5);
    CHECK(found.share.undecided == 0.125);
    CHECK(found.share.over_protected == 0.125);
    CHECK(found.share.no_verdict == 0.125);
    CHECK(found.verdict[4] == Verdict::undecided);
    CHECK(found.statistics.max_mv == -700);
    CHECK(found.statistics.min_mv == -1200);
}

TEST_CASE("a verdict counts when it held for more than 5 % of the time") {
    CHECK(judged(every_10_s(100), joined(values(5, -700), values(95, -900))).overall ==
          Verdict::protected_);
    CHECK(judged(every_10_s(100), joined(values(6, -700), values(94, -900))).overall ==
          Verdict::under_protected);
    CHECK(
        judged(every_10_s(100), joined(values(6, -700), values(94, -900)), rules(), 0.10).overall ==
        Verdict::protected_);
}

TEST_CASE("over-protection is the worst where it destroys, and milder elsewhere") {
    const auto half_and_half = joined(values(50, -700), values(50, -1200));
    CHECK(judged(every_10_s(100), half_and_half).overall == Verdict::under_protected);
    CHECK(judged(every_10_s(100), half_and_half, rules(true)).overall == Verdict::over_protected);
}

TEST_CASE(
    "over-protection ranks by the limit that was exceeded, not by what the boat has besides") {
    // Beyond -1000 mV it destroys, beyond -900 it only costs anodes; too little from -800 mV.
    const Rules both{{rule({-800, -900}, false), rule({std::nullopt, -1000}, true)}, {}, {}};
    const auto half_and_half = joined(values(50, -700), values(50, -950));
    CHECK(judged(every_10_s(100), half_and_half, both).overall == Verdict::under_protected);
    const auto destroyed = joined(values(94, -700), values(6, -1100));
    CHECK(judged(every_10_s(100), destroyed, both).overall == Verdict::over_protected);
    // 3 % of one and 3 % of the other are 6 % over-protected.
    const auto some = joined(joined(values(3, -950), values(3, -1100)), values(94, -850));
    CHECK(judged(every_10_s(100), some, both).overall == Verdict::over_protected);
    CHECK(judged(every_10_s(100), some, both).share.over_protected == doctest::Approx(0.06));
}

TEST_CASE("a reading converted in two ways is shown by the less negative and judged by both") {
    const std::vector<ByConstants> standard_mv{{-1098, -1101}, {-1098, -1101}};
    const std::vector<double> exact{0, 0};
    const JudgedTrace found = judge_trace(every_10_s(2), rules(), standard_mv, exact);
    CHECK(found.overall == Verdict::over_protected);
    CHECK(found.standard_mv[0] == -1098);
    CHECK(found.statistics.median_mv == -1098);
}

TEST_CASE("protected is not said of a time in which a tenth had no verdict") {
    CHECK(judged(every_10_s(100), joined(values(10, missing_value), values(90, -900))).overall ==
          Verdict::no_verdict);
    CHECK(judged(every_10_s(100), joined(values(10, -805), values(90, -900))).overall ==
          Verdict::undecided);
}

TEST_CASE("when nothing held for the share that counts, what held longest does") {
    CHECK(judged(every_10_s(10), joined(values(4, -700), values(6, -900)), rules(), 0.7).overall ==
          Verdict::protected_);
}

TEST_CASE("a gap counts for no verdict and ends a spell") {
    Trace trace = every_10_s(6);
    for (std::size_t i = 3; i < 6; ++i)
        trace.time[i] += std::chrono::hours{1};
    const JudgedTrace found = judged(trace, values(6, -900));
    CHECK(found.covered_s == 60);
    CHECK(found.share.protected_ == 1);
    REQUIRE(found.gaps.size() == 1);
    CHECK(found.gaps[0].from == from_unix_s(30));
    CHECK(found.gaps[0].to == from_unix_s(3630));
    REQUIRE(found.spells.size() == 2);
    CHECK(found.spells[0].to == from_unix_s(30));
    CHECK(found.spells[1].from == from_unix_s(3630));
    REQUIRE(found.events.size() == 1);
    CHECK(found.events[0].kind == EventKind::gap);
    CHECK(found.events[0].why == "no reading for 1 h");
}

TEST_CASE("a silence in which records were lost is one event, in order of time with the others") {
    Trace trace = every_10_s(4);
    trace.time[3] += std::chrono::minutes{10};
    trace.events = {{from_unix_s(10), EventKind::clock_set, missing_value, "set"},
                    {from_unix_s(20), EventKind::gap, missing_value, "60 records torn or lost"},
                    {from_unix_s(625), EventKind::restart, missing_value, "restarted"}};
    const JudgedTrace found = judged(trace, values(4, -900));
    REQUIRE(found.events.size() == 3);
    CHECK(found.events[1].why == "no reading for 10 min: 60 records torn or lost");
    CHECK(found.events[2].kind == EventKind::restart);
}

namespace {

/// Minutes of one value each, in readings of 10 s.
std::vector<double> minutes(const std::vector<std::pair<int, double>>& parts) {
    std::vector<double> each_mv;
    for (const auto& [count, value_mv] : parts)
        each_mv.insert(each_mv.end(), static_cast<std::size_t>(6 * count), value_mv);
    return each_mv;
}

JudgedTrace judged_minutes(const std::vector<std::pair<int, double>>& parts) {
    const std::vector<double> each_mv = minutes(parts);
    return judged(every_10_s(each_mv.size()), each_mv);
}

Instant minute(std::int64_t at) {
    return from_unix_s(60 * at);
}

} // namespace

TEST_CASE("spells merge readings of one verdict and keep the worst of each") {
    const JudgedTrace found = judged_minutes({{5, -700},
                                              {5, -750},
                                              {5, -805},
                                              {5, -795},
                                              {5, -1000},
                                              {5, -950},
                                              {5, -1200},
                                              {5, -1150}});
    REQUIRE(found.spells.size() == 4);
    CHECK(found.spells[0].verdict == Verdict::under_protected);
    CHECK(found.spells[0].from == minute(0));
    CHECK(found.spells[0].to == minute(10));
    CHECK(found.spells[0].held == 1);
    CHECK(found.spells[0].worst_mv == -700); // the most positive
    CHECK(found.spells[1].verdict == Verdict::undecided);
    CHECK(found.spells[1].worst_mv == -795); // beyond the limit
    CHECK(found.spells[2].verdict == Verdict::protected_);
    CHECK(found.spells[2].worst_mv == -1000); // the nearest to a limit
    CHECK(found.spells[3].verdict == Verdict::over_protected);
    CHECK(found.spells[3].worst_mv == -1200); // the most negative
    CHECK(found.spells[3].to == minute(40));
}

TEST_CASE("less than five minutes of another verdict are no spell, but their worst is kept") {
    const JudgedTrace found = judged_minutes({{10, -900}, {4, -700}, {10, -900}});
    REQUIRE(found.spells.size() == 1);
    CHECK(found.spells[0].verdict == Verdict::protected_);
    CHECK(found.spells[0].worst_mv == -700);
    CHECK(found.spells[0].held == doctest::Approx(20.0 / 24));
    CHECK(found.share.under_protected == doctest::Approx(4.0 / 24)); // shares know no spells
    CHECK(judged_minutes({{10, -900}, {5, -700}, {10, -900}}).spells.size() == 3);
}

TEST_CASE("a potential that hovers at a limit makes few spells, each of what held longest") {
    std::vector<double> each_mv;
    for (int i = 0; i < 8'640; ++i) // a day, of which the second half is less often protected
        each_mv.push_back(i % 5 < (i < 4'320 ? 3 : 1) ? -900 : -700);
    const JudgedTrace found = judged(every_10_s(each_mv.size()), each_mv);
    REQUIRE(found.spells.size() == 2);
    CHECK(found.spells[0].verdict == Verdict::protected_);
    CHECK(found.spells[0].held == doctest::Approx(0.6).epsilon(0.01));
    CHECK(found.spells[1].verdict == Verdict::under_protected);
    CHECK(found.spells[1].held == doctest::Approx(0.8).epsilon(0.01));
    CHECK(std::abs(seconds_between(minute(720), found.spells[1].from)) <= 60);
}

TEST_CASE("a spell that a silence cuts short has the verdict that held longest in it") {
    std::vector<double> each_mv = minutes({{1, -900}, {3, -700}, {10, -900}});
    Trace trace = every_10_s(each_mv.size());
    for (std::size_t i = 24; i < each_mv.size(); ++i)
        trace.time[i] += std::chrono::hours{1};
    const JudgedTrace found = judged(trace, each_mv);
    REQUIRE(found.spells.size() == 2);
    CHECK(found.spells[0].verdict == Verdict::under_protected);
    CHECK(found.spells[0].held == 0.75);
    CHECK(found.spells[1].verdict == Verdict::protected_);
}

TEST_CASE("where a reading stands for an hour each has a spell of its own") {
    Trace trace = every_10_s(4);
    for (std::size_t i = 0; i < 4; ++i)
        trace.time[i] = minute(static_cast<std::int64_t>(60 * i));
    CHECK(judged(trace, {-900, -700, -900, -900}).spells.size() == 3);
}

TEST_CASE("the worst of a spell without readings is missing, of one with some it is not") {
    const JudgedTrace found = judged(every_10_s(3), values(3, missing_value));
    REQUIRE(found.spells.size() == 1);
    CHECK(std::isnan(found.spells[0].worst_mv));
}

TEST_CASE("an empty trace has no verdict and no shares") {
    const JudgedTrace found = judged(every_10_s(0), {});
    CHECK(found.overall == Verdict::no_verdict);
    CHECK(found.covered_s == 0);
    CHECK(found.share.no_verdict == 0);
    CHECK(found.spells.empty());
    CHECK(std::isnan(found.statistics.median_mv));
}

TEST_CASE("two readings cover no time either; the shares are of the readings") {
    Trace trace = every_10_s(2);
    trace.time[1] += std::chrono::years{9000};
    const JudgedTrace found = judged(trace, {-900, -700});
    CHECK(found.covered_s == 0);
    CHECK(found.share.protected_ == 0.5);
    CHECK(found.share.under_protected == 0.5);
    CHECK(found.overall == Verdict::under_protected);
    CHECK(found.gaps.size() == 1);
    CHECK(found.spells.size() == 2);
    REQUIRE(found.events.size() == 1);
    CHECK(found.events[0].kind == EventKind::gap);
}

TEST_CASE("readings a year apart each count, and for no time") {
    Trace trace = every_10_s(4);
    for (std::size_t i = 0; i < 4; ++i)
        trace.time[i] = from_unix_s(static_cast<std::int64_t>(i) * 365 * 86'400);
    const JudgedTrace found = judged(trace, {-900, -900, -900, -700});
    CHECK(found.covered_s == 0);
    CHECK(found.gaps.size() == 3);
    CHECK(found.share.protected_ == 0.75);
    CHECK(found.statistics.median_mv == -900);
}

TEST_CASE("a single reading covers no time, yet its verdict is that of the trace") {
    const JudgedTrace found = judged(every_10_s(1), {-900});
    CHECK(found.covered_s == 0);
    CHECK(found.share.protected_ == 1);
    CHECK(found.overall == Verdict::protected_);
    CHECK(found.statistics.median_mv == -900);
}

TEST_CASE("a trace without any potential has no verdict all the time") {
    const JudgedTrace found = judged(every_10_s(5), values(5, missing_value));
    CHECK(found.overall == Verdict::no_verdict);
    CHECK(found.share.no_verdict == 1);
}
