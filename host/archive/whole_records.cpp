#include "archive/whole_records.h"

#include "base/record_check.h"
#include "wire/record.h"

namespace quaycell {

bool are_all_whole(std::span<const std::uint8_t> block) {
    constexpr std::size_t together = records_together * wire::record_size;
    if (block.size() < together || block.size() % wire::record_size != 0) return false;
    for (std::size_t at = 0; at + together <= block.size(); at += together)
        if (!are_whole_records(block.data() + at)) return false;
    return are_whole_records(block.data() + block.size() - together);
}

/// What rotted before the rows had checksums shows only here; it becomes a gap.
void visit_whole_records(std::span<const std::uint8_t> block, const VisitRecords& visit) {
    if (are_all_whole(block)) {
        visit(block);
        return;
    }
    for (; block.size() >= wire::record_size; block = block.subspan(wire::record_size))
        if (is_whole_record(block.data())) visit(block.first(wire::record_size));
}

} // namespace quaycell
