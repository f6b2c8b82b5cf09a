// What comparisons of the reference cell say of a trace that was taken with it.
#pragma once

#include "archive/archive.h"
#include "judging/boat.h"

#include <boost/json/fwd.hpp>
#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// "cell AG-7, compared with a cell 2026-05-03T08:00:00Z: good, 2.1 mV apart (written by ...)"
std::string cell_check_text(const CellCheckRow& check);

boost::json::value cell_checks_json(const std::vector<CellCheckRow>& checks);

/// Of a trace from `first` to `last`.
struct CellTrust {
    /// Checked: every reading lies within a day of a good one or between two. Unchecked: one was
    /// worse, and no good one lies between it and the readings; that outweighs the vessel file's
    /// date and the command line's word. Nothing: they tell neither.
    std::optional<CellCheck> check;
    std::optional<std::string> rejected; ///< why its readings are not judged
    std::vector<std::string> remarks;    ///< the comparisons, in words, and which do not count
};

/// What the comparisons of that cell say, as far as they count for these readings.
CellTrust trust_in(const std::vector<CellCheckRow>& checks, const std::string& cell, Instant first,
                   Instant last);

} // namespace quaycell
