// The program that the board runs, as the ELF holds it.
#pragma once

#include <cstdint>
#include <filesystem>
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

/// Reads an ELF for the ATmega328P; throws WrongInput when it is not one.
Firmware read_firmware(const std::filesystem::path& elf);

} // namespace quaycell::bench
