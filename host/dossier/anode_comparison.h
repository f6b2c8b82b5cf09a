// Two logs of one boat's anodes.
#pragma once

#include "evidence/verify.h"
#include "judging/anode_document.h"

#include <span>
#include <string>
#include <string_view>

namespace quaycell {

/// What a report states of a log against what an archive holds of it, in words.
struct AnodeLogComparison {
    std::string difference; ///< the first; empty where there is none
    std::string agreement;  ///< else this, with what was added since
};

/// Entries are only added: one of the boat's that the archive holds before the last one that is
/// stated was left out, one after it came later. `held`: all that the archive holds. Both in order
/// of their numbers.
AnodeLogComparison compare_anode_logs(const AnodeDocument& stated,
                                      std::span<const AnodeEntryRow> held);

/// What a report without a log of `boat`'s anodes has to be read with, from all that the archive
/// `held`. Where it holds some of hers nothing tells whether they came later or were taken out of
/// the report; and nothing tells whose they are where `boat` is empty.
struct WithoutAnodeLog {
    Agreement agreement;
    std::string words;
};
WithoutAnodeLog compare_without_anode_log(std::string_view boat,
                                          std::span<const AnodeEntryRow> held);

} // namespace quaycell
