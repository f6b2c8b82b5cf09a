#include "chart/text.h"

#include "scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("good text stays as it is") {
    CHECK(clean_text("Seeschwalbe, −870 mV, 船") == "Seeschwalbe, −870 mV, 船");
    CHECK(clean_text("\xF0\x9F\x8C\x8A") == "\xF0\x9F\x8C\x8A");
    CHECK(clean_text("") == "");
}

TEST_CASE("control characters and broken UTF-8 are replaced, one by one") {
    CHECK(clean_text(std::string_view("a\0b", 3)) == "a\uFFFDb");
    CHECK(clean_text("\x1b[2J\n\x7f") == "\uFFFD[2J \uFFFD");
    CHECK(clean_text("first\n\nsecond\r\n\tthird") == "first  second   third");
    CHECK(clean_text("\xC2\x85") == "\uFFFD"); // a control character of two bytes
    CHECK(clean_text("\xFF\xC0\x80") == "\uFFFD\uFFFD\uFFFD");
    CHECK(clean_text("\xE2\x82") == "\uFFFD\uFFFD"); // cut off
    for (const char* noncharacter :
         {"\uFDD0", "\uFDEF", "\uFFFE", "\uFFFF", "\U0001FFFE", "\U0010FFFF"})
        CHECK(clean_text(noncharacter) == "\uFFFD");
    for (const char* character :
         {"\uFDCF", "\uFDF0", "\uFFFD", "\U0001FFFD", "\U0001F6A2", "\u0FBF"})
        CHECK(clean_text(character) == character);
    CHECK(clean_text("\xED\xA0\x80") == "\uFFFD\uFFFD\uFFFD");           // a surrogate
    CHECK(clean_text("\xE0\x80\xAF") == "\uFFFD\uFFFD\uFFFD");           // overlong
    CHECK(clean_text("\xF4\x90\x80\x80") == "\uFFFD\uFFFD\uFFFD\uFFFD"); // beyond Unicode
    CHECK(clean_text("\xEF\xBF\xBF") == "\uFFFD");
}

TEST_CASE("well-formed UTF-8 is told from what is none") {
    // RFC 3629: a stray continuation, an overlong '/', half a surrogate, above U+10FFFF, cut short.
    for (const char* text : {"", "abc", "R\xC3\xA4", "\xE2\x9A\x93", "\xF0\x9F\x9A\xA2"})
        CHECK(is_utf8(text));
    for (const char* text : {"\x80", "\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xC3"})
        CHECK_FALSE(is_utf8(text));
}

TEST_CASE("what is too wide is cut with an ellipsis, between characters") {
    // 1 mm letters are 0.6 mm wide: ten of them fit 6 mm.
    CHECK(shortened("0123456789", 6.01, 1, false, fake_text_width) == "0123456789");
    CHECK(shortened("0123456789A", 6.01, 1, false, fake_text_width) == "012345678…");
    CHECK(shortened("ééééééééééé", 6.01, 1, false, fake_text_width) == "ééééééééé…");
    CHECK(shortened("01234567 9A", 6.01, 1, false, fake_text_width) == "01234567…");
    CHECK(shortened("abc", 0.1, 1, false, fake_text_width) == "…");
    CHECK(shortened(std::string(1000000, 'x'), 6.01, 1, false, fake_text_width) == "xxxxxxxxx…");
}

TEST_CASE("paragraphs are broken at spaces, and a word that fits nowhere is cut") {
    CHECK(wrapped("one two three four", 6.01, 1, false, fake_text_width) ==
          std::vector<std::string>{"one two", "three four"});
    CHECK(wrapped("a 0123456789ABC b", 6.01, 1, false, fake_text_width) ==
          std::vector<std::string>{"a", "0123456789", "ABC b"});
    CHECK(wrapped("", 6, 1, false, fake_text_width).empty());
}

TEST_CASE("a word too long for a line is parted behind its last hyphen or stroke that fits") {
    CHECK(wrapped("under-protected", 6.01, 1, false, fake_text_width) ==
          std::vector<std::string>{"under-", "protected"});
    CHECK(wrapped("agcl/seawater", 6.01, 1, false, fake_text_width) ==
          std::vector<std::string>{"agcl/", "seawater"});
    CHECK(wrapped("-0123456789", 6.01, 1, false, fake_text_width) ==
          std::vector<std::string>{"-012345678", "9"});
}
