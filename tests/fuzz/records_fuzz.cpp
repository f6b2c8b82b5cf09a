// Records of any content into deployments and traces. The first byte says whether they are sealed
// (whole, with senseless content) or left as they are (torn); the next whether their numbers rise.
#include "fuzz/input.h"

#include "series/decode.h"

#include <algorithm>
#include <cmath>

using namespace quaycell;

namespace {

std::vector<RecordBytes> records_in(fuzz::Input& input) {
    const bool sealed = (input.byte() & 1) != 0;
    const bool rising = (input.byte() & 1) != 0;
    std::vector<RecordBytes> records;
    while (!input.empty() && records.size() < 512) {
        RecordBytes record{};
        std::ranges::copy(input.bytes(record.size()), record.begin());
        if (rising) {
            auto head = wire::from_bytes<wire::RecordHead>(record.data());
            head.sequence = static_cast<std::uint32_t>(records.size());
            wire::to_bytes(head, record.data());
        }
        if (sealed) {
            const std::uint16_t crc =
                wire::crc16(record.data(), wire::record_size - wire::crc_size);
            wire::to_bytes(crc, record.data() + wire::record_size - wire::crc_size);
        }
        records.push_back(record);
    }
    // decode() is promised them sorted, as the archive hands them out.
    std::ranges::stable_sort(records, {}, [](const RecordBytes& record) {
        const auto head = wire::from_bytes<wire::RecordHead>(record.data());
        return std::pair(head.boot, head.sequence);
    });
    return records;
}

void check_trace(const Trace& trace) {
    const std::size_t rows = trace.time.size();
    fuzz::promise(trace.potential_mv.size() == rows && trace.quality.size() == rows);
    for (const auto* column : {&trace.cell_b_mv, &trace.ac_mv, &trace.temperature_c,
                               &trace.salinity_psu, &trace.source_ohm, &trace.battery_mv})
        fuzz::promise(column->empty() || column->size() == rows);
    fuzz::promise(std::ranges::adjacent_find(trace.time, std::greater_equal{}) == trace.time.end());
    fuzz::promise(std::ranges::is_sorted(trace.events, {}, &Event::time));
    for (const double potential : trace.potential_mv)
        fuzz::promise(!std::isinf(potential));
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    fuzz::Input input(bytes, count);
    LoggerFacts facts;
    facts.circuit = {62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
                     112288, 330000,  297000, 10000, 6600,
                     16384,  3300,    3600,   789,   169,
                     55,     80};
    const std::uint8_t kinds = input.byte();
    if ((kinds & 1) != 0) { // a circuit and a calibration from a logger that lost its mind
        std::array<std::uint8_t, sizeof(wire::Circuit)> circuit{};
        std::ranges::copy(input.bytes(circuit.size()), circuit.begin());
        facts.circuit = wire::from_bytes<wire::Circuit>(circuit.data());
    }
    if ((kinds & 2) != 0) {
        std::array<std::uint8_t, sizeof(wire::Calibration)> calibration{};
        std::ranges::copy(input.bytes(calibration.size()), calibration.begin());
        facts.calibration = wire::from_bytes<wire::Calibration>(calibration.data());
    }
    const std::vector<RecordBytes> records = records_in(input);
    std::uint32_t number = 0;
    std::size_t end = 0;
    for (const Deployment& deployment : deployments_of(records)) {
        fuzz::promise(deployment.number == ++number && deployment.first >= end);
        end = deployment.first + deployment.count;
        fuzz::promise(end <= records.size() && deployment.readings <= deployment.count);
        const auto trace =
            decode(std::span(records).subspan(deployment.first, deployment.count), facts);
        if (trace) check_trace(*trace);
    }
    if (const auto trace = decode(records, facts)) check_trace(*trace);
    return 0;
}
