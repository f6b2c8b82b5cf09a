// Where no good record stands.
#pragma once

#include "archive/archive.h"

namespace quaycell {

struct BadRun {
    SequenceRange numbers;
    BadHow how;
};

/// The runs of slots in which no good record stands.
inline std::vector<BadRun> bad_runs(const std::vector<SequencedRecord>& slots) {
    std::vector<BadRun> runs;
    for (const SequencedRecord& slot : slots) {
        if (is_good(slot)) continue;
        const BadHow how = is_void(slot) ? BadHow::spent : BadHow::torn;
        const bool goes_on = !runs.empty() && runs.back().how == how &&
                             runs.back().numbers.first + runs.back().numbers.count == slot.sequence;
        if (goes_on)
            ++runs.back().numbers.count;
        else
            runs.push_back({{slot.sequence, 1}, how});
    }
    return runs;
}

} // namespace quaycell
