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

TEST_CASE("records side by side are whole when each of them is") {
    std::mt19937 chance(8);
    constexpr std::size_t size = wire::record_size;
    std::array<std::uint8_t, records_together * size> bytes;
    for (int round = 0; round < 2'000; ++round) {
        for (std::uint8_t& byte : bytes)
            byte = static_cast<std::uint8_t>(chance());
        for (std::size_t at = 0; at < bytes.size(); at += size) {
            bytes[at] = static_cast<std::uint8_t>(0x51 + chance() % 7);
            const std::uint16_t crc = wire::crc16(&bytes[at], size - wire::crc_size);
            bytes[at + 30] = static_cast<std::uint8_t>(crc);
            bytes[at + 31] = static_cast<std::uint8_t>(crc >> 8U);
        }
        REQUIRE(are_whole_records(bytes.data()));
        std::uint8_t& hit = bytes[chance() % bytes.size()];
        hit = static_cast<std::uint8_t>(hit ^ 1U << chance() % 8);
        REQUIRE_FALSE(are_whole_records(bytes.data()));
    }
    bytes.fill(0);
    CHECK_FALSE(are_whole_records(bytes.data())); // the checksum of zeros is not zero
}

TEST_CASE("a known checksum does not make a known kind") {
    std::array<std::uint8_t, records_together * wire::record_size> bytes{};
    for (std::size_t at = 0; at < bytes.size(); at += wire::record_size) {
        bytes[at] = at == wire::record_size ? 0x58 : 0x57; // one beyond the last kind
        const std::uint16_t crc = wire::crc16(&bytes[at], wire::record_size - wire::crc_size);
        bytes[at + 30] = static_cast<std::uint8_t>(crc);
        bytes[at + 31] = static_cast<std::uint8_t>(crc >> 8U);
    }
    CHECK_FALSE(are_whole_records(bytes.data()));
}

TEST_CASE("blank slots are no records") {
    CHECK_FALSE(is_whole_record(RecordBytes{}.data()));
    RecordBytes erased;
    erased.fill(0xFF);
    CHECK_FALSE(is_whole_record(erased.data()));
}
