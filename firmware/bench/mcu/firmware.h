// The program that the board runs, as the ELF holds it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <span>
#include <stdexcept>
#include <vector>

namespace quaycell::bench {

/// A file or a value given by the user is not what it should be. what() names cause, place and
/// remedy.
class WrongInput : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

struct Firmware {
    std::vector<std::uint8_t> flash; ///< from address 0
    std::uint16_t ram_end;           ///< first SRAM address after the static data, [data space]
};

/// Where the simulator would run these instructions wrongly: it takes ADIW and SBIW of a number
/// that ends in 12 to 15, modulo 16, for the two words of a CALL when a skip passes over them
/// (libsimavr 1.6, mask 0xFC0F where 0xFE0E is meant). The address of the first such skip.
std::optional<std::uint32_t> misread_skip(std::span<const std::uint8_t> flash);

/// Reads an ELF for the ATmega328P; throws WrongInput when it is not one, or holds a
/// misread_skip().
Firmware read_firmware(const std::filesystem::path& elf);

} // namespace quaycell::bench
