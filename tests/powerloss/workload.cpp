#include "workload.h"

namespace quaycell::powerloss {

namespace {

constexpr std::uint16_t prepared_interval_s = 60;
constexpr std::uint8_t prepared_state = wire::state_overwrite_oldest;

template <typename Record>
Operation program_of(Record record) {
    wire::seal(record);
    Operation program{false, record.head.sequence % capacity * wire::record_size, {}};
    wire::to_bytes(record, program.data.data());
    return program;
}

} // namespace

const std::vector<Workload>& workloads() {
    using enum Step::Kind;
    static const std::vector<Workload> all{
        {"append",
         0,
         {{boot}, {arm_stop_when_full}, {reading, 130}, {stop}, {boot, 2}, {restart}, {boot}}},
        {"orders",
         0,
         {{boot},
          {arm_overwrite_oldest},
          {reading, 3},
          {stop},
          {arm_stop_when_full},
          {reading, 2},
          {restart},
          {reading, 2},
          {forget},
          {boot},
          {arm_overwrite_oldest},
          {reading},
          {arm_stop_when_full},
          {reading},
          {forget}}},
        // The orders that fall on the last slot of a sector, or on the first behind it.
        {"borders",
         0,
         {{arm_stop_when_full},
          {reading, 126},
          {stop},
          {boot},
          {arm_overwrite_oldest},
          {reading, 125},
          {stop},
          {boot},
          {arm_overwrite_oldest},
          {reading, 126},
          {forget}}},
        {"full",
         0,
         {{boot},
          {arm_stop_when_full},
          {fill},
          {boot},
          {restart},
          {boot},
          {arm_stop_when_full},
          {reading, 3}}},
        {"full-forget",
         0,
         {{arm_stop_when_full}, {fill}, {forget}, {boot}, {arm_overwrite_oldest}, {reading, 2}}},
        {"ring",
         0,
         {{arm_overwrite_oldest},
          {reading, 700},
          {restart},
          {reading, 130},
          {stop},
          {boot, 2},
          {arm_stop_when_full},
          {reading, 2}}},
        {"wrap",
         0xFFFFFE80U,
         {{boot},
          {arm_overwrite_oldest},
          {reading, 400},
          {stop},
          {restart},
          {boot, 140},
          {arm_stop_when_full},
          {reading, 2}}},
        // The deployment begins with the very last sector before the numbers start again.
        {"wrap-full", 0xFFFFFF00U, {{arm_stop_when_full}, {fill}, {boot}, {forget}, {boot}}},
    };
    return all;
}

std::vector<Operation> prepared_slots(const Workload& workload) {
    if (workload.first_sequence == 0) return {};
    wire::SectorHeader header = {};
    header.head.kind = static_cast<std::uint8_t>(wire::RecordKind::sector_header);
    header.head.sequence = workload.first_sequence;
    header.tail_sequence = workload.first_sequence;
    header.erase_count = 5;
    header.interval_s = prepared_interval_s;
    header.layout = wire::record_layout;
    header.state = prepared_state;
    wire::Boot boot = {};
    boot.head.kind = static_cast<std::uint8_t>(wire::RecordKind::boot);
    boot.head.sequence = workload.first_sequence + 1;
    return {program_of(header), program_of(boot)};
}

Standing prepared_standing(const Workload& workload) {
    if (workload.first_sequence == 0) return {};
    return {false, wire::FullPolicy::overwrite_oldest, prepared_interval_s,
            workload.first_sequence};
}

} // namespace quaycell::powerloss
