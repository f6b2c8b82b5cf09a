// What the archive holds of one flash sector's worth of sequence numbers, while records are added.
#pragma once

#include "archive/sqlite.h"
#include "base/record_bytes.h"

#include <array>
#include <optional>

namespace quaycell {

/// The records of one logger, one boot and one flash sector.
class HeldSector {
  public:
    HeldSector(std::uint32_t device, std::uint16_t boot, std::uint32_t sector)
        : device_(device), boot_(boot), sector_(sector) {}

    bool covers(std::uint16_t boot, std::uint32_t sequence) const {
        return boot == boot_ && sequence >> wire::slot_bits == sector_;
    }

    Result<Done> load(sqlite::Database& database);

    /// What is held under this number, or nothing.
    const std::optional<RecordBytes>& at(std::uint32_t sequence) const {
        return held_[sequence % wire::slots_per_sector];
    }

    void put(const SequencedRecord& record);

    /// Stores what was put as blocks, one for each unbroken run.
    Result<Done> store(sqlite::Database& database);

  private:
    std::uint32_t device_;
    std::uint16_t boot_;
    std::uint32_t sector_;
    std::array<std::optional<RecordBytes>, wire::slots_per_sector> held_;
    std::array<bool, wire::slots_per_sector> is_new_{};
};

} // namespace quaycell
