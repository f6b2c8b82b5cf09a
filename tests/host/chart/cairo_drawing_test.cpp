#include "chart/text_width.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("measured text grows with its length and size, and with weight") {
    const TextWidth width = drawn_text_width();
    const double narrow = width("protected", 3, false);
    CHECK(narrow > 5);
    CHECK(narrow < 30);
    CHECK(width("protected", 6, false) == doctest::Approx(2 * narrow).epsilon(0.02));
    CHECK(width("under-protected", 3, false) > narrow);
    CHECK(width("protected", 3, true) >= narrow);
    CHECK(width("", 3, false) == 0);
    CHECK(width("\xff\x1b", 3, false) > 0);
}
