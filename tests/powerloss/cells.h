// What a NOR flash holds, down to cells that a power cut has left between 0 and 1.
#pragma once

#include "wire/record.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace quaycell::powerloss {

constexpr std::uint32_t sector_size = 4096;
constexpr std::uint32_t sectors = 4;
constexpr std::uint32_t flash_size = sectors * sector_size;
constexpr std::uint32_t capacity = sectors * wire::slots_per_sector; ///< slots

using Bytes = std::array<std::uint8_t, wire::record_size>;

/// One thing that the log asks of the flash.
struct Operation {
    bool erase;
    std::uint32_t address;
    Bytes data; ///< of a program

    std::uint32_t sector() const { return address / sector_size; }
};

/// How far an operation got before the power went. `bytes` counts where a kind has a place.
struct Tear {
    enum class Kind : std::uint8_t {
        before,   ///< nothing was done
        byte,     ///< a program got through so many bytes
        bits,     ///< a random part of the bits that were to change has done so
        unstable, ///< the same, and another part reads differently each time
        last_bit, ///< of a program nothing is left but one bit, which reads differently each time
        front,    ///< an erase got through so many bytes from the front
        back,     ///< from the back
        zeroed,   ///< bits are cleared before they are erased: that is how far it got
        weak,     ///< all reads as erased, but some bits fall back after the next power-up
    };
    Kind kind;
    std::uint16_t bytes = 0;

    bool operator==(const Tear&) const = default;
};

/// What a worn sector does no more; all else goes as it should.
struct Worn {
    enum class Kind : std::uint8_t {
        never_erases,   ///< an erase changes nothing
        stuck_bit,      ///< one bit in the middle is 0 for good
        never_programs, ///< a program changes nothing
        half_programs,  ///< the same, but for the first few slots
    };
    Kind kind;
    std::uint32_t sector;

    bool operator==(const Worn&) const = default;
};

class Cells {
  public:
    Cells();

    /// From now on.
    void wear_out(Worn worn);

    void read(std::uint32_t address, std::uint8_t* bytes, std::uint32_t count);
    /// Clears bits, as programming does.
    void program(const Operation& operation);
    void erase(std::uint32_t address);
    /// Whether every bit from here on is erased, as far as anyone can read.
    bool blank(std::uint32_t address, std::uint32_t count) const;

    /// Carries out what a tear leaves of an operation.
    void tear(const Operation& operation, Tear tear, std::uint64_t seed);
    /// A whole sector gone: blank when the seed is even, else noise.
    void lose(std::uint32_t sector, std::uint64_t seed);
    /// Weak bits hold through one power-up and fall back at the next.
    void power_up();

  private:
    bool is_beyond(const Operation& operation) const;
    void hold_stuck_bit();
    void tear_cells(const Operation& operation, Tear tear, std::uint64_t seed);
    void leave_one_bit(const Operation& program, std::uint64_t seed);
    void tear_bits(const Operation& operation, Tear::Kind kind, std::uint64_t seed);
    void make_unstable(std::uint32_t at, std::uint8_t mask);

    std::optional<Worn> worn_;
    std::vector<std::uint8_t> bytes_;
    std::vector<std::uint8_t> unstable_; ///< mask of each byte; empty as long as there is none
    std::vector<std::uint8_t> weak_;
    std::uint32_t power_ups_ = 0; ///< since the weak bits came to be
    std::uint64_t reads_ = 0;     ///< of unstable cells
    std::uint64_t seed_ = 0;
};

} // namespace quaycell::powerloss
