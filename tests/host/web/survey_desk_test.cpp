#include "web/survey_desk.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::web;

TEST_CASE("a line of a walk is text that a person can have typed") {
    for (const char* line : {"", "-870 4", "note loose nut",
                             "add Ru\xC3\xA4"
                             "er=copper-alloy",
                             "note \xE2\x9A\x93", "note \xF0\x9F\x9A\xA2"})
        CHECK(is_line(line));
    CHECK(is_line(std::string(1000, 'x')));
}

TEST_CASE("what would move a terminal, end a line or is no text is none") {
    for (const char* line : {"note a\nfinish", "note a\rb", "note \x1b[2J", "a\tb", "\x7f"})
        CHECK_FALSE(is_line(line));
    CHECK_FALSE(is_line(std::string_view("a\0b", 3)));
    CHECK_FALSE(is_line(std::string(1001, 'x')));
    // RFC 3629: a stray continuation, an overlong '/', half a surrogate, above U+10FFFF, cut short.
    for (const char* line : {"\x80", "\xC0\xAF", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                             "\xF5\x80\x80\x80", "\xC3", "\xE2\x9A", "\xFF"})
        CHECK_FALSE(is_line(line));
}

TEST_CASE("a desk without an archive, a logger or a walk says what is missing") {
    BoatOptions boat;
    boat.hull = "steel";
    SurveyDesk without_archive("", boat, false);
    CHECK(without_archive.begin({{"shore", "plugged"}}).body.find("--archive") !=
          std::string::npos);
    SurveyDesk without_logger("never-made.quaycell", boat, true);
    CHECK(without_logger.begin({{"shore", "plugged"}}).body.find("not been heard") !=
          std::string::npos);
    CHECK(without_logger.say("-870", "0").status == Status::bad_request);
    CHECK(without_logger.state().body.find("\"walking\":false") != std::string::npos);
}
