#include "base/record_check.h"

#include "base/record_bytes.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

TEST_CASE("a record is whole by tables as it is by the contract, byte for byte") {
    std::mt19937 chance(7);
    int whole = 0;
    for (int round = 0; round < 20'000; ++round) {
        RecordBytes bytes{};
        for (std::uint8_t& byte : bytes)
            byte = static_cast<std::uint8_t>(chance());
        bytes[0] = static_cast<std::uint8_t>(0x50 + chance() % 9); // kinds and their neighbours
        if (round % 4 != 0) {
            const std::uint16_t crc = wire::crc16(bytes.data(), bytes.size() - wire::crc_size);
            bytes[30] = static_cast<std::uint8_t>(crc);
            bytes[31] = static_cast<std::uint8_t>(crc >> 8U);
        }
        if (round % 4 == 3) bytes[chance() % 32] ^= static_cast<std::uint8_t>(1U << chance() % 8);
        const bool is_whole = is_whole_record(bytes.data());
        REQUIRE(is_whole == wire::is_valid_record(bytes.data()));
        whole += is_whole;
    }
    CHECK(whole > 5000);
}

TEST_CASE("blank slots are no records") {
    CHECK_FALSE(is_whole_record(RecordBytes{}.data()));
    RecordBytes erased;
    erased.fill(0xFF);
    CHECK_FALSE(is_whole_record(erased.data()));
}
