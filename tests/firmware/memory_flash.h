// NOR flash in memory, for the log to be tested on: programming only clears bits, a slot must not
// be programmed twice, and the power can be cut in the middle of any operation.
#pragma once

#include "wire/record.h"

#include <cstdint>
#include <set>
#include <stdexcept>
#include <vector>

namespace quaycell::test {

struct PowerCut {};

class MemoryFlash {
  public:
    explicit MemoryFlash(uint16_t sectors)
        : sectors_(sectors), known_(sectors), bytes_(sectors * 4096U, 0xFF) {}

    bool identify() {
        known_ = there ? sectors_ : uint16_t{0};
        return known_ != 0;
    }
    uint16_t sector_count() const { return known_; }
    const uint8_t* jedec_id() const { return jedec_id_; }

    bool busy() {
        if (!there) return false;
        if (stuck || busy_polls_ == 0) return stuck;
        --busy_polls_;
        return true;
    }

    void read(uint32_t address, uint8_t* bytes, uint16_t count) {
        if (busy_polls_ != 0) throw std::logic_error("read while busy");
        for (uint16_t i = 0; i < count; ++i)
            bytes[i] = there ? bytes_.at(address + i) : uint8_t{0xFF};
    }

    void program(uint32_t address, const uint8_t* bytes, uint8_t count) {
        if (busy_polls_ != 0) throw std::logic_error("program while busy");
        if (address / 256 != (address + count - 1) / 256)
            throw std::logic_error("program across a page");
        if (!there) return;
        for (uint8_t i = 0; i < count; ++i) {
            if (bytes_.at(address + i) != 0xFF) throw std::logic_error("programmed twice");
        }
        for (uint8_t i = 0; i < count; ++i) {
            spend();
            if (!takes_nothing && !dead_slots.contains(address)) bytes_[address + i] &= bytes[i];
        }
    }

    void start_erase(uint32_t address) {
        if (busy_polls_ != 0) throw std::logic_error("erase while busy");
        if (address % 4096 != 0) throw std::logic_error("erase of no sector");
        if (!there) return;
        for (uint32_t i = 0; i < 4096; ++i) {
            if (i % 64 == 0) spend();
            if (!unerasable.contains(address / 4096)) bytes_[address + i] = 0xFF;
        }
        ++erases;
        busy_polls_ = erase_polls;
    }

    void rest() {}

    /// The power fails in the step after so many (bytes programmed, 64 bytes erased); 0: never.
    void cut_after(uint32_t steps) { steps_left_ = steps; }

    void power_up() {
        busy_polls_ = 0;
        steps_left_ = 0;
        identify();
    }

    uint8_t* slot(uint32_t sequence) {
        return bytes_.data() + sequence % (sectors_ * 128U) * wire::record_size;
    }

    bool there = true;               ///< else nobody drives the bus
    uint32_t erase_polls = 3;        ///< how often it says busy after an erase
    bool stuck = false;              ///< says busy for ever
    std::set<uint32_t> dead_slots{}; ///< addresses that take no programming
    std::set<uint32_t> unerasable{}; ///< sectors
    bool takes_nothing = false;      ///< of what is programmed
    uint32_t erases = 0;

  private:
    void spend() {
        if (steps_left_ == 0) return;
        if (--steps_left_ == 0) throw PowerCut{};
    }

    uint16_t sectors_;
    uint16_t known_; ///< as it was identified last
    std::vector<uint8_t> bytes_;
    uint32_t busy_polls_ = 0;
    uint32_t steps_left_ = 0;
    uint8_t jedec_id_[3] = {0xEF, 0x40, 0x15};
};

} // namespace quaycell::test
