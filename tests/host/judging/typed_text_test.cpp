#include "judging/typed_text.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a line in any script is kept as it is") {
    for (const char* line : {"", "rudder", "hull, port <b>",
                             "Ruder \xC3\xA4u\xC3\x9F"
                             "en",
                             "\xE9\x8C\xA8"})
        CHECK_FALSE(not_a_line(line, "--place"));
}

TEST_CASE("what no document could hold or no page could show is refused with its option") {
    // Not UTF-8; the end of a line; an escape of a terminal; U+202E, which turns the direction.
    for (const char* line : {"\xFF", "one\ntwo", "\x1B[31m", "a\xE2\x80\xAEz"}) {
        const auto refused = not_a_line(line, "--place");
        REQUIRE(refused);
        CHECK(refused->code == ErrorCode::wrong_usage);
        CHECK(refused->where == "--place");
        CHECK_FALSE(refused->remedy.empty());
    }
}
