#include "series/decode.h"
#include "series/record_times.h"

namespace quaycell {

namespace {

using wire::RecordKind;

/// When the first of the records was written, as far as they know.
std::optional<Instant> start_of(std::span<const RecordBytes> records) {
    const std::vector<RecordBytes> whole = whole_records(records);
    if (whole.empty()) return std::nullopt;
    const auto times = times_of(whole);
    return times ? std::optional(times->front().time) : std::nullopt;
}

} // namespace

std::vector<Deployment> deployments_of(std::span<const RecordBytes> records) {
    std::vector<Deployment> found;
    Deployment open; // first, what comes before any Arm record
    std::optional<std::size_t> arm_at;
    const auto close = [&](std::size_t end) {
        if (!arm_at && open.readings == 0) return;
        open.number = static_cast<std::uint32_t>(found.size() + 1);
        open.count = end - open.first;
        const std::size_t start = arm_at.value_or(open.first);
        open.armed_at = start_of(records.subspan(start, end - start));
        found.push_back(open);
    };
    for (std::size_t i = 0; i < records.size(); ++i) {
        if (!wire::is_valid_record(records[i].data())) continue;
        switch (static_cast<RecordKind>(records[i][0])) {
        case RecordKind::arm: {
            // Arming opens a new sector: its header, just before the Arm record, belongs with it.
            const bool after_header =
                i > 0 && records[i - 1][0] == static_cast<std::uint8_t>(RecordKind::sector_header);
            const std::size_t first = after_header ? i - 1 : i;
            close(first);
            arm_at = i;
            open = {};
            open.first = first;
            open.interval_s = wire::from_bytes<wire::Arm>(records[i].data()).interval_s;
            break;
        }
        case RecordKind::sector_header:
            if (!arm_at)
                open.interval_s =
                    wire::from_bytes<wire::SectorHeader>(records[i].data()).interval_s;
            break;
        case RecordKind::reading:
            ++open.readings;
            break;
        default:
            break;
        }
    }
    close(records.size());
    return found;
}

} // namespace quaycell
