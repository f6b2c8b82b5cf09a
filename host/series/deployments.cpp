#include "series/decode.h"

namespace quaycell {

namespace {

using wire::RecordKind;

/// The time of arming by the clock setting that follows it in the same boot, or 1970.
Instant armed_by_later_setting(std::span<const RecordBytes> records, const wire::Arm& arm) {
    for (const RecordBytes& bytes : records) {
        if (!wire::is_valid_record(bytes.data())) continue;
        const auto head = wire::from_bytes<wire::RecordHead>(bytes.data());
        if (head.boot != arm.head.boot) break;
        if (static_cast<RecordKind>(head.kind) != RecordKind::clock_set) continue;
        const auto set = wire::from_bytes<wire::ClockSet>(bytes.data());
        return from_unix_s(set.after_unix_s) -
               std::chrono::seconds{head.ticks_s - arm.head.ticks_s};
    }
    return {};
}

} // namespace

std::vector<Deployment> deployments_of(std::span<const RecordBytes> records) {
    std::vector<Deployment> found;
    Deployment open; // first, what comes before any Arm record
    bool armed = false;
    const auto close = [&](std::size_t end) {
        if (!armed && open.readings == 0) return;
        open.number = static_cast<std::uint32_t>(found.size() + 1);
        open.count = end - open.first;
        found.push_back(open);
    };
    for (std::size_t i = 0; i < records.size(); ++i) {
        if (!wire::is_valid_record(records[i].data())) continue;
        switch (static_cast<RecordKind>(records[i][0])) {
        case RecordKind::arm: {
            const auto arm = wire::from_bytes<wire::Arm>(records[i].data());
            // Arming opens a new sector: its header, just before the Arm record, belongs with it.
            const bool after_header =
                i > 0 && records[i - 1][0] == static_cast<std::uint8_t>(RecordKind::sector_header);
            const std::size_t first = after_header ? i - 1 : i;
            close(first);
            armed = true;
            open = {};
            open.first = first;
            open.interval_s = arm.interval_s;
            open.armed_at = arm.unix_s != 0 ? from_unix_s(arm.unix_s)
                                            : armed_by_later_setting(records.subspan(i), arm);
            break;
        }
        case RecordKind::sector_header:
            if (!armed)
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
