// The records of a block that are whole.
#pragma once

#include <cstdint>
#include <functional>
#include <span>

namespace quaycell {

/// `visit` is given them some at a time, one behind another.
using VisitRecords = std::function<void(std::span<const std::uint8_t> records)>;
void visit_whole_records(std::span<const std::uint8_t> block, const VisitRecords& visit);

} // namespace quaycell
