#include "logger/identity.h"

#include "fake_board.h"

#include <doctest/doctest.h>

using namespace quaycell;
using test::FakeEeprom;

TEST_CASE("a new board's first start is number 1, and each start counts one more") {
    FakeEeprom eeprom;
    for (uint16_t n = 1; n <= 300; ++n)
        CHECK(logger::count_boot(eeprom, 64) == n);
}

TEST_CASE("the count runs through 65535 to 0 and on") {
    FakeEeprom eeprom;
    const logger::BootSlot slot = {65534, static_cast<uint16_t>(~65534)};
    std::memcpy(eeprom.bytes.data() + 64, &slot, sizeof slot);
    CHECK(logger::count_boot(eeprom, 64) == 65535);
    CHECK(logger::count_boot(eeprom, 64) == 0);
    CHECK(logger::count_boot(eeprom, 64) == 1);
    CHECK(logger::count_boot(eeprom, 64) == 2);
}

TEST_CASE("a count torn by a power cut never falls behind one that was used") {
    for (uint32_t starts = 1; starts <= 4; ++starts) {
        for (uint32_t cut = 0; cut < 4; ++cut) {
            FakeEeprom eeprom;
            for (uint32_t n = 0; n < starts; ++n)
                logger::count_boot(eeprom, 64);
            eeprom.writes_left = cut;
            CHECK_THROWS_AS(logger::count_boot(eeprom, 64), test::PowerCut);
            eeprom.writes_left = UINT32_MAX;
            const uint16_t next = logger::count_boot(eeprom, 64);
            // The torn write may have been whole already; it must only never be an old number.
            CHECK(next > starts);
            CHECK(next <= starts + 2);
            CHECK(logger::count_boot(eeprom, 64) == next + 1);
        }
    }
}
