#include "link/slot_window.h"

#include <algorithm>

namespace quaycell {

SlotWindow::SlotWindow(SequenceRange wanted) : first_(wanted.first), slots_(wanted.count) {}

bool SlotWindow::take(const SequencedRecord& slot) {
    const std::uint32_t place = slot.sequence - first_;
    if (place >= slots_.size() || slots_[place]) return false;
    slots_[place] = slot.bytes;
    return true;
}

void SlotWindow::end_before(std::uint32_t sequence) {
    const std::uint32_t left = wire::sequence_before(sequence, first_) ? 0 : sequence - first_;
    if (left < slots_.size()) slots_.resize(std::max<std::size_t>(left, handed_on_));
}

std::optional<SequencedRecord> SlotWindow::next_in_order() {
    if (handed_on_ == slots_.size() || !slots_[handed_on_]) return std::nullopt;
    const std::size_t place = handed_on_++;
    return SequencedRecord{first_ + static_cast<std::uint32_t>(place), *slots_[place]};
}

std::optional<SequenceRange> SlotWindow::first_missing() const {
    const auto is_here = [](const auto& slot) { return slot.has_value(); };
    const auto from = std::find_if_not(slots_.begin() + static_cast<std::ptrdiff_t>(handed_on_),
                                       slots_.end(), is_here);
    if (from == slots_.end()) return std::nullopt;
    const auto to = std::find_if(from, slots_.end(), is_here);
    return SequenceRange{first_ + static_cast<std::uint32_t>(from - slots_.begin()),
                         static_cast<std::uint32_t>(to - from)};
}

} // namespace quaycell
