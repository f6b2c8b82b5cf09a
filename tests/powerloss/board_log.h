// The log as it stands in the image of the board's flash, read by the host's copy of the log.
#pragma once

#include "flashlog/flash_log.h"

#include <cstdint>
#include <span>
#include <vector>

namespace quaycell::powerloss {

/// A flash image, and what a restart would make of it.
class BoardLog {
  public:
    explicit BoardLog(std::span<const std::uint8_t> image);

    std::uint32_t capacity() const;
    std::uint32_t tail() const { return tail_; }
    std::uint32_t next() const { return next_; }
    flashlog::Recording recording() const { return recording_; }
    /// Whether the last record of `later` stands in another sector than the last one here.
    bool enters_sector(const BoardLog& later) const;
    /// The slot of this number, whatever it holds.
    const std::uint8_t* slot(std::uint32_t sequence) const;
    /// Whether it holds the record of this number.
    bool has(std::uint32_t sequence) const;

  private:
    std::vector<std::uint8_t> image_;
    std::uint32_t tail_ = 0, next_ = 0;
    flashlog::Recording recording_{};
};

/// Throws Failure unless everything that `before` held and `after` still has to hold is there, and
/// nothing stands under a number that had been given. `order_given`: the tail may have moved to a
/// new deployment. `worn`: so many sectors in a row may have been passed over, and a ring has taken
/// as many more of its oldest.
void hold_together(const BoardLog& before, const BoardLog& after, bool order_given,
                   std::uint32_t worn = 0);

/// Records, without headers, of `after` that `before` does not have.
unsigned new_records(const BoardLog& before, const BoardLog& after);

/// A full ring of invented readings, recording, so many sectors before the numbers start again, and
/// with so many slots used in its newest one.
std::vector<std::uint8_t> full_ring(std::uint32_t flash_bytes, std::uint32_t sectors_to_wrap,
                                    std::uint32_t newest_slots = wire::slots_per_sector / 2);

/// Lets the sector ahead of that ring, which is erased, hold something: a worn one that cannot be
/// erased shows by that alone.
void soil_ahead(std::span<std::uint8_t> ring, std::uint32_t sectors_to_wrap);

} // namespace quaycell::powerloss
