// The records of a block that are whole.
#pragma once

#include <cstdint>
#include <functional>
#include <span>

namespace quaycell {

/// Whether all are, as they nearly always are. False of a few, too, which visit_whole_records()
/// looks at one by one.
bool are_all_whole(std::span<const std::uint8_t> block);

/// `visit` is given them some at a time, one behind another.
using VisitRecords = std::function<void(std::span<const std::uint8_t> records)>;
void visit_whole_records(std::span<const std::uint8_t> block, const VisitRecords& visit);

} // namespace quaycell
