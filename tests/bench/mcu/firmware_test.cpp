#include "bench/mcu/firmware.h"

#include <array>
#include <doctest/doctest.h>

using namespace quaycell::bench;

namespace {

// Opcodes by the instruction set manual.
constexpr std::uint16_t nop = 0x0000, sbrc_r21_7 = 0xFD57, cpse_r1_r2 = 0x1012, sbis_5_3 = 0x9B2B;
constexpr std::uint16_t adiw_r24_31 = 0x964F, adiw_r24_11 = 0x960B, sbiw_r30_60 = 0x97FC;
constexpr std::uint16_t call = 0x940E;

std::optional<std::uint32_t> found(std::uint16_t a, std::uint16_t b) {
    const std::array words{nop, a, b, nop};
    std::vector<std::uint8_t> flash;
    for (const std::uint16_t word : words) {
        flash.push_back(static_cast<std::uint8_t>(word & 0xFFU));
        flash.push_back(static_cast<std::uint8_t>(word >> 8U));
    }
    return misread_skip(flash);
}

} // namespace

TEST_CASE("a skip over what the simulator takes for a CALL is found, and nothing else") {
    CHECK(found(sbrc_r21_7, adiw_r24_31) == 2);
    CHECK(found(cpse_r1_r2, sbiw_r30_60) == 2);
    CHECK(found(sbis_5_3, adiw_r24_31) == 2);
    CHECK_FALSE(found(nop, adiw_r24_31));
    CHECK_FALSE(found(sbrc_r21_7, adiw_r24_11));
    CHECK_FALSE(found(sbrc_r21_7, call)); // it has two words
    CHECK_FALSE(misread_skip({}));
}
