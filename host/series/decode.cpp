#include "series/decode.h"

#include "base/record_check.h"
#include "series/recording.h"

namespace quaycell {

Result<Trace> decode(std::span<const RecordBytes> records, const LoggerFacts& facts,
                     std::span<const SequenceRange> spent) {
    Recording recording;
    for (const RecordBytes& record : records)
        if (is_whole_record(record.data())) recording.add(record);
    recording.finish();
    const auto readings = recording.readings(facts, spent);
    if (!readings) return readings.error();
    return whole_trace(*readings);
}

} // namespace quaycell
