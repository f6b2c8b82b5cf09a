#include "series/coverage.h"

#include <doctest/doctest.h>

using namespace quaycell;
using std::chrono::seconds;

namespace {

std::vector<Instant> at(const std::vector<int>& seconds_since_1970) {
    std::vector<Instant> time;
    time.reserve(seconds_since_1970.size());
    for (const int s : seconds_since_1970)
        time.push_back(from_unix_s(s));
    return time;
}

} // namespace

TEST_CASE("a reading stands until the next, the last for one interval") {
    const Coverage coverage = coverage_of(at({0, 10, 20, 31}));
    CHECK(coverage.interval == seconds{10});
    CHECK(coverage.stands_for.whole() ==
          std::vector<Milliseconds>{seconds{10}, seconds{10}, seconds{11}, seconds{10}});
    CHECK(coverage.gaps.empty());
}

TEST_CASE("one missed reading is bridged, two and a half intervals still, more is a gap") {
    const Coverage coverage = coverage_of(at({0, 10, 20, 30, 50, 60, 70, 95, 105, 131}));
    CHECK(coverage.interval == seconds{10});
    CHECK(coverage.stands_for[3] == seconds{20});
    CHECK(coverage.stands_for[6] == seconds{25});
    CHECK(coverage.stands_for[8] == seconds{10});
    REQUIRE(coverage.gaps.size() == 1);
    CHECK(coverage.gaps[0].from == from_unix_s(115));
    CHECK(coverage.gaps[0].to == from_unix_s(131));
}

TEST_CASE("one or two readings stand for no time, and a day between them is no gap") {
    CHECK(coverage_of({}).stands_for.empty());
    const Coverage one = coverage_of(at({7}));
    CHECK(one.stands_for.whole() == std::vector{Milliseconds{0}});
    CHECK(one.gaps.empty());
    const Coverage two = coverage_of(at({0, 86400}));
    CHECK(two.stands_for.whole() == std::vector<Milliseconds>{seconds{0}, seconds{0}});
    CHECK(two.gaps.empty());
    CHECK(coverage_of(at({0, 10, 20})).interval == seconds{10});
}

TEST_CASE("a year between readings is a gap, however few they are") {
    constexpr int year = 365 * 86400;
    const Coverage two = coverage_of(at({0, year}));
    REQUIRE(two.gaps.size() == 1);
    CHECK(two.gaps[0].from == from_unix_s(0));
    CHECK(two.gaps[0].to == from_unix_s(year));
    const Coverage three = coverage_of(at({0, year, 2 * year}));
    CHECK(three.gaps.size() == 2);
    CHECK(three.interval == seconds{0});
    CHECK(three.stands_for.whole() == std::vector<Milliseconds>(3, seconds{0}));
    for (const auto& times : std::vector<std::vector<int>>{
             {0, 60, year}, {0, year, year + 60}, {0, 60, year, year + 60}}) {
        const Coverage some = coverage_of(at(times));
        REQUIRE(some.gaps.size() == 1);
        CHECK(some.interval == seconds{60});
        CHECK(some.gaps[0].to == from_unix_s(year));
        for (const Milliseconds each : some.stands_for.whole())
            CHECK(each <= seconds{60});
    }
}

TEST_CASE("a reading a day is an interval, a reading a week is none") {
    CHECK(coverage_of(at({0, 86'000, 173'000, 259'000})).gaps.empty());
    CHECK(coverage_of(at({0, 604'800, 1'209'600, 1'814'400})).gaps.size() == 3);
}

TEST_CASE("an interval that changes is no gap, and a silence is one by the interval round it") {
    std::vector<int> seconds_since_1970;
    int t = 0;
    for (int i = 0; i < 1000; ++i)
        seconds_since_1970.push_back(t += 10);
    for (int i = 0; i < 100; ++i)
        seconds_since_1970.push_back(t += i == 50 ? 151 : 60);
    const Coverage coverage = coverage_of(at(seconds_since_1970));
    CHECK(coverage.interval == seconds{60});
    CHECK(coverage.stands_for[999] == seconds{60});
    CHECK(coverage.stands_for[998] == seconds{10});
    REQUIRE(coverage.gaps.size() == 1);
    CHECK(coverage.gaps[0].from == from_unix_s(10000 + 51 * 60));
    CHECK(coverage.stands_for.back() == seconds{60});
}
