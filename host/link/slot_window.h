// A run of slots that is being downloaded: takes them as they come, hands them on in order and
// knows which are still missing, so that only those are asked for again.
#pragma once

#include "base/record_bytes.h"

#include <optional>
#include <vector>

namespace quaycell {

class SlotWindow {
  public:
    explicit SlotWindow(SequenceRange wanted);

    /// Whether the slot was wanted and is new.
    bool take(const SequencedRecord& slot);

    /// The log ends before `sequence`; what would come after is no longer wanted.
    void end_before(std::uint32_t sequence);

    /// The next slot in order, if it is here; each is handed on once.
    std::optional<SequencedRecord> next_in_order();

    /// The first run of slots that are not here yet.
    std::optional<SequenceRange> first_missing() const;

    std::uint32_t count() const { return static_cast<std::uint32_t>(slots_.size()); }

  private:
    std::uint32_t first_;
    std::vector<std::optional<RecordBytes>> slots_;
    std::size_t handed_on_ = 0;
};

} // namespace quaycell
