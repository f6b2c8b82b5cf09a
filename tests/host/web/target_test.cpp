#include "web/target.h"

#include <doctest/doctest.h>

using namespace quaycell::web;

TEST_CASE("a path with a query is taken apart") {
    const auto target = parse_target("/token/api/week?deployment=3&zone=Europe%2FAmsterdam");
    REQUIRE(target);
    CHECK(target->path == "/token/api/week");
    CHECK(target->query == Query{{"deployment", "3"}, {"zone", "Europe/Amsterdam"}});
}

TEST_CASE("names of files with a point in them are paths") {
    CHECK(parse_target("/t/live.js"));
    CHECK(parse_target("/"));
}

TEST_CASE("no way of writing a path leads up, out or elsewhere") {
    for (const char* trick :
         {"",          "live.js", "//etc/passwd", "/../etc/passwd", "/t/../../etc/passwd",
          "/t/./x",    "/t/..",   "/t/%2e%2e/x",  "/t/%2F",         "/t/..;/x",
          "/t\\..\\x", "/t/x.",   "/t/.htaccess", "/t/a..b",        "http://elsewhere/",
          "*",         "/t/x#y",  "/t/a b",       "/t/\xc0\xaf",    "/t/x\r\nHost: y",
          "/t/~root",  "/t/x:y",  "/t/@x"}) {
        CAPTURE(trick);
        CHECK_FALSE(parse_target(trick));
    }
    CHECK_FALSE(parse_target(std::string_view("/t/x\0y", 6)));
}

TEST_CASE("a query holds a few short printable fields, each once") {
    for (const char* trick :
         {"/?a", "/?=1", "/?A=1", "/?a=1&a=2", "/?a=%", "/?a=%0", "/?a=%zz", "/?a=%00", "/?a=%0a",
          "/?a=%e2%80%ae", "/?a=1&&b=2", "/?a=\x7f", "/?a=1&b=1&c=1&d=1&e=1&f=1&g=1&h=1&i=1"}) {
        CAPTURE(trick);
        CHECK_FALSE(parse_target(trick));
    }
    // RFC 3629: an overlong '/', half a surrogate; and letters that are not percent-encoded.
    for (const char* trick : {"/?a=%c0%af", "/?a=%ed%a0%80", "/?a=%ff", "/?a=%c3", "/?a=\xc3\xa4",
                              "/?a=%c2%85", "/?a=%e2%81%a6"}) {
        CAPTURE(trick);
        CHECK_FALSE(parse_target(trick));
    }
    CHECK(parse_target("/?a=" + std::string(longest_value, 'x')));
    CHECK_FALSE(parse_target("/?a=" + std::string(longest_value + 1, 'x')));
    CHECK(parse_target("/?a=")->query == Query{{"a", ""}});
}

TEST_CASE("what is too long is no target") {
    CHECK(parse_target('/' + std::string(longest_target - 1, 'x')));
    CHECK_FALSE(parse_target('/' + std::string(longest_target, 'x')));
}

TEST_CASE("a name in any letters is a value, percent-encoded as browsers send it") {
    const auto target =
        parse_target("/?meter=Me%C3%9Fger%C3%A4t+%E2%84%96%2012&zone=Etc%2FGMT%2B5");
    REQUIRE(target);
    CHECK(field(target->query, "zone") == "Etc/GMT+5");
    CHECK(field(target->query, "meter") == "Me\xC3\x9Fger\xC3\xA4t \xE2\x84\x96 12");
}
