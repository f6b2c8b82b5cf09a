#include "base/time.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("RFC 3339 times are read and written in UTC") {
    CHECK(to_text(from_unix_s(0)) == "1970-01-01T00:00:00Z");
    CHECK(parse_instant("1970-01-01T00:00:00Z").value() == from_unix_s(0));
    // RFC 3339, section 5.8: these two are the same instant.
    CHECK(parse_instant("1996-12-19T16:39:57-08:00").value() ==
          parse_instant("1996-12-20T00:39:57Z").value());
    CHECK(to_text(parse_instant("1985-04-12T23:20:50.52Z").value()) == "1985-04-12T23:20:50.520Z");
}

TEST_CASE("a time that does not say its zone is refused") {
    const auto time = parse_instant("2026-05-04T06:00:00");
    REQUIRE_FALSE(time);
    CHECK(time.error().what.find("offset") != std::string::npos);
}

TEST_CASE("days and hours that do not exist are refused") {
    for (const char* text : {"2026-02-30T00:00:00Z", "2026-13-01T00:00:00Z", "2026-05-04T24:00:00Z",
                             "2026-05-04T06:60:00Z", "2026-05-04", "yesterday", "",
                             "2026-05-04T06:00:00.Z", "2026-05-04T06:00:00Zebra"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_instant(text));
    }
}

TEST_CASE("lengths of time are read with their unit") {
    CHECK(parse_duration("90").value().count() == 90);
    CHECK(parse_duration("10min").value().count() == 600);
    CHECK(parse_duration("7d").value().count() == 604800);
    CHECK_FALSE(parse_duration("7w"));
    CHECK_FALSE(parse_duration("-1s"));
    CHECK_FALSE(parse_duration("99999999999999999999d"));
}

TEST_CASE("lengths of time are written in their two largest units") {
    CHECK(to_text(std::chrono::seconds{0}) == "0 s");
    CHECK(to_text(std::chrono::seconds{3600}) == "1 h");
    CHECK(to_text(std::chrono::seconds{648000}) == "7 d 12 h");
    CHECK(to_text(std::chrono::seconds{90061}) == "1 d 1 h");
}
