#include "judging/trace_window.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// A reading a second for 10,000 s, more than two pieces of a column; each shows its own second.
Readings seconds() {
    Trace trace;
    trace.name = "seconds.csv";
    for (int s = 0; s < 10000; ++s) {
        trace.time.push_back(from_unix_s(s));
        trace.potential_mv.push_back(-s);
    }
    for (const int s : {99, 100, 5000, 5001})
        trace.events.push_back({from_unix_s(s), EventKind::restart, missing_value, ""});
    trace.joints = {{50, "before"}, {100, "at the start"}, {4100, "inside"}, {5001, "after"}};
    trace.ended = Ending{from_unix_s(9999), "stopped"};
    return trace;
}

Result<Readings> cut(const char* from, const char* to) {
    const auto window = window_from({from, to});
    REQUIRE(window);
    REQUIRE(window->has_value());
    return within(seconds(), **window);
}

} // namespace

TEST_CASE("both ends are included, and what goes with the readings goes with them") {
    const auto part = cut("1970-01-01T00:01:40Z", "1970-01-01T01:23:20Z"); // 100 to 5000 s
    REQUIRE(part);
    REQUIRE(part->time.size() == 4901);
    CHECK(part->time.front() == from_unix_s(100));
    CHECK(part->time.back() == from_unix_s(5000));
    for (std::size_t row = 0; row < part->time.size(); ++row)
        REQUIRE(part->potential_mv[row] == -100.0 - static_cast<double>(row));
    CHECK(part->ac_mv.empty());
    REQUIRE(part->events.size() == 2);
    CHECK(part->events[0].time == from_unix_s(100));
    REQUIRE(part->joints.size() == 1);
    CHECK(part->joints[0].first == 4000);
    CHECK_FALSE(part->ended);
    CHECK(part->name == "seconds.csv, only from 1970-01-01T00:01:40Z to 1970-01-01T01:23:20Z");
}

TEST_CASE("an end that is not given is not limited") {
    const auto from = cut("1970-01-01T02:46:30Z", ""); // 9990 s
    REQUIRE(from);
    CHECK(from->time.size() == 10);
    CHECK(from->ended);
    const auto to = cut("", "1970-01-01T00:00:04.5Z");
    REQUIRE(to);
    CHECK(to->time.size() == 5);
    const auto all = window_from({"", ""});
    REQUIRE(all);
    CHECK_FALSE(all->has_value());
}

TEST_CASE("a time between the readings has none, and the error says when there are some") {
    const auto none = cut("1980-01-01T00:00:00Z", "");
    REQUIRE_FALSE(none);
    CHECK(none.error().code == ErrorCode::wrong_usage);
    CHECK(none.error().remedy.find("from 1970-01-01T00:00:00Z to 1970-01-01T02:46:39Z") !=
          std::string::npos);
    CHECK_FALSE(cut("1970-01-01T00:00:00.1Z", "1970-01-01T00:00:00.9Z"));
}

TEST_CASE("times in the wrong order, and times without an offset, are refused") {
    const auto turned = window_from({"2026-05-05T00:00:00Z", "2026-05-04T00:00:00Z"});
    REQUIRE_FALSE(turned);
    CHECK(turned.error().code == ErrorCode::wrong_usage);
    const auto local = window_from({"2026-05-05T00:00:00", ""});
    REQUIRE_FALSE(local);
    CHECK(local.error().code == ErrorCode::wrong_usage);
    CHECK(local.error().where == "--from");
}
