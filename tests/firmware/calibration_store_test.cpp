#include "logger/calibration_store.h"

#include "fake_board.h"

#include <doctest/doctest.h>

using namespace quaycell;
using test::FakeEeprom;

namespace {

constexpr uint16_t address = 128;
using Store = logger::CalibrationStore<FakeEeprom>;

wire::Calibration calibration(int16_t gain_ppm) {
    wire::Calibration found = {};
    found.layout = wire::calibration_layout;
    found.flags = wire::calibration_valid;
    found.a.gain_ppm = gain_ppm;
    wire::seal(found);
    return found;
}

void write(FakeEeprom& eeprom, int16_t gain_ppm) {
    wire::Calibration next = calibration(gain_ppm);
    REQUIRE(Store(eeprom, address).write(next));
}

int gain_ppm(FakeEeprom& eeprom) {
    return Store(eeprom, address).read().a.gain_ppm;
}

} // namespace

TEST_CASE("an EEPROM that was never written holds no calibration") {
    FakeEeprom eeprom;
    const Store store(eeprom, address);
    CHECK_FALSE(store.holds_one());
    CHECK(store.read().flags == 0);
}

TEST_CASE("the last calibration written is the one that counts, however often") {
    FakeEeprom eeprom;
    for (int16_t n = 1; n <= 20; ++n) {
        write(eeprom, n);
        CHECK(gain_ppm(eeprom) == n);
    }
}

TEST_CASE("turns run through 65535 to 0 and on") {
    FakeEeprom eeprom;
    wire::Calibration old = calibration(1);
    old.turn = 65534;
    wire::seal(old);
    std::memcpy(eeprom.bytes.data() + address, &old, sizeof old);
    for (int16_t n = 2; n <= 6; ++n) {
        write(eeprom, n);
        CHECK(gain_ppm(eeprom) == n);
    }
}

TEST_CASE("a write torn after any byte leaves the calibration of before, or the new one, whole") {
    for (int16_t stored = 0; stored <= 3; ++stored) {
        for (uint32_t cut = 0; cut < sizeof(wire::Calibration); ++cut) {
            CAPTURE(stored);
            CAPTURE(cut);
            FakeEeprom eeprom;
            for (int16_t n = 1; n <= stored; ++n)
                write(eeprom, n);
            eeprom.writes_left = cut;
            wire::Calibration next = calibration(99);
            CHECK_THROWS_AS(Store(eeprom, address).write(next), test::PowerCut);
            const int after = gain_ppm(eeprom);
            const bool one_of_both = after == stored || after == 99;
            CHECK(one_of_both);
            eeprom.writes_left = UINT32_MAX;
            write(eeprom, 100);
            CHECK(gain_ppm(eeprom) == 100);
        }
    }
}

TEST_CASE("a calibration needs its checksum, its layout and its valid flag") {
    FakeEeprom eeprom;
    wire::Calibration stored = calibration(55);
    SUBCASE("sound") {}
    SUBCASE("one bit off") {
        stored.crc ^= 0x0100;
    }
    SUBCASE("not valid") {
        stored.flags = 0;
        wire::seal(stored);
    }
    SUBCASE("another layout") {
        ++stored.layout;
        wire::seal(stored);
    }
    std::memcpy(eeprom.bytes.data() + address, &stored, sizeof stored);
    CHECK(Store(eeprom, address).holds_one() == wire::is_valid(stored));
    CHECK(gain_ppm(eeprom) == (wire::is_valid(stored) ? 55 : 0));
}

TEST_CASE("an EEPROM that does not take a byte is noticed, and what stood before still counts") {
    struct Worn : FakeEeprom {
        void write(uint16_t at, uint8_t value) {
            if (at != address + 40 && at != address + 40 + sizeof(wire::Calibration))
                FakeEeprom::write(at, value);
        }
    } eeprom;
    const wire::Calibration held = calibration(7);
    std::memcpy(eeprom.bytes.data() + address, &held, sizeof held);
    wire::Calibration next = calibration(8);
    next.instrument[40 - offsetof(wire::Calibration, instrument)] = 'x';
    logger::CalibrationStore<Worn> store(eeprom, address);
    CHECK_FALSE(store.write(next));
    CHECK(store.read().a.gain_ppm == 7);
}
