#include "calibration/bits_seen.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("two codes that are each other's inverse move every bit") {
    BitsSeen bits;
    bits.take(0x1234);
    bits.take(static_cast<std::int16_t>(~0x1234));
    CHECK(bits.stuck().empty());
}

TEST_CASE("a converter whose low three bits are dead is found out") {
    BitsSeen bits;
    for (int code = -32768; code <= 32760; code += 8)
        bits.take(static_cast<std::int16_t>(code));
    CHECK(bits.stuck() == std::vector<int>{0, 1, 2});
    BitsSeen other;
    other.take(7);
    bits.take(other);
    CHECK(bits.stuck().empty());
}

TEST_CASE("before the first code nothing has moved") {
    CHECK(BitsSeen().stuck().size() == 16);
}
