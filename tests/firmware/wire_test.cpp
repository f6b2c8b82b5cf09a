// Built twice, as C++14 and as C++20: the host reads what the firmware wrote.
#include "wire_checks.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("the wire contract holds") {
    for (const test::WireCheck& check : test::wire_checks) {
        INFO(check.name);
        CHECK(check.passes());
    }
}

TEST_CASE("no single-bit flip of many frames is ever taken for a frame") {
    test::Dice dice;
    test::Reader reader;
    for (int round = 0; round < 300; ++round) {
        uint8_t frame[wire::max_frame + 1];
        uint16_t count = test::any_frame(dice, frame, test::any_type(dice));
        frame[count++] = 0;
        uint16_t accepted = 0;
        for (uint16_t bit = 0; bit < (count - 1) * 8; ++bit) {
            frame[bit / 8] = static_cast<uint8_t>(frame[bit / 8] ^ (1U << (bit % 8)));
            test::read_all(reader, frame, count, accepted);
            frame[bit / 8] = static_cast<uint8_t>(frame[bit / 8] ^ (1U << (bit % 8)));
        }
        CHECK(accepted == 0);
    }
}
