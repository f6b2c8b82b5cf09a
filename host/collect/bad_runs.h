// Where no good record stands.
#pragma once

#include "base/record_bytes.h"

#include <vector>

namespace quaycell {

/// The runs of slots in which no good record stands.
inline std::vector<SequenceRange> bad_runs(const std::vector<SequencedRecord>& slots) {
    std::vector<SequenceRange> runs;
    for (const SequencedRecord& slot : slots) {
        if (is_good(slot)) continue;
        if (!runs.empty() && runs.back().first + runs.back().count == slot.sequence)
            ++runs.back().count;
        else
            runs.push_back({slot.sequence, 1});
    }
    return runs;
}

} // namespace quaycell
