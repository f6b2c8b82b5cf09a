// A raw copy of a logger's flash, as a programmer reads it, into the archive.
#pragma once

#include "archive/archive.h"

#include <span>
#include <string>
#include <vector>

namespace quaycell {

/// The log in a copy of the flash: every slot that counts, whatever it holds.
struct FlashImage {
    std::string name; ///< of the file
    std::uint32_t device;
    std::uint16_t boot; ///< of the newest sector
    std::uint32_t tail;
    std::vector<SequencedRecord> slots; ///< from the tail to the last that was written
};

/// Error: wrong_input when it is not a whole flash, holds no log, or one of a logger without number
/// or of two loggers. `name` is that of the file.
Result<FlashImage> read_flash_image(std::span<const std::uint8_t> bytes, const std::string& name);

struct FlashImport {
    AddCounts counts;
    std::vector<SequenceRange> gaps; ///< numbers without a good record
    std::uint32_t worn_sectors;      ///< that the logger has passed over; nothing is lost in them
};

/// Adds what is good, remembers what is not. Errors: those of Archive::add and check_same_logger().
Result<FlashImport> import_flash(Archive& archive, const FlashImage& image);

} // namespace quaycell
