#include "judging/cell_checks.h"

#include "electrode/cell_check.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace json = boost::json;

std::string cell_check_text(const CellCheckRow& check) {
    return fmt::format("cell {}, compared with {} at {}: {}, {:.1f} mV {} (written by {})",
                       check.cell.empty() ? "without a number" : check.cell,
                       check.against == "zinc" ? "clean zinc" : "another cell", to_text(check.at),
                       check.finding, std::abs(check.difference_mv),
                       check.against == "zinc" ? "from the usual" : "apart", check.author);
}

json::value cell_checks_json(const std::vector<CellCheckRow>& checks) {
    json::array list;
    for (const CellCheckRow& check : checks)
        list.push_back({{"cell", check.cell},
                        {"time", to_text(check.at)},
                        {"against", check.against},
                        {"difference_mv", rounded(check.difference_mv, 2)},
                        {"finding", check.finding},
                        {"author", check.author},
                        {"written_at", to_text(check.written_at)}});
    return list;
}

namespace {

/// A rejection after the readings that no good comparison parts from them: since when it was so
/// nobody knows.
const CellCheckRow* rejected_later(const std::vector<CellCheckRow>& checks, const std::string& cell,
                                   Instant last) {
    const CellCheckRow* found = nullptr;
    std::optional<Instant> good;
    for (const CellCheckRow& check : checks) {
        if (check.cell != cell || check.at < last) continue;
        if (check.finding == name_of(CellFinding::good) && check.against == "cell")
            good = good ? std::min(*good, check.at) : check.at;
        if (check.finding == name_of(CellFinding::rejected) &&
            check.at > last + comparison_counts_for && (found == nullptr || check.at < found->at))
            found = &check;
    }
    return found != nullptr && (!good || *good > found->at) ? found : nullptr;
}

} // namespace

CellTrust trust_in(const std::vector<CellCheckRow>& checks, const std::string& cell, Instant first,
                   Instant last) {
    CellTrust trust;
    bool good = false;
    bool doubtful = false;
    std::size_t of_others = 0;
    const CellCheckRow* const later = rejected_later(checks, cell, last);
    for (const CellCheckRow& check : checks) {
        if (check.cell != cell) {
            ++of_others;
            continue;
        }
        if (&check == later) continue;
        if (check.at < first - comparison_counts_for || check.at > last + comparison_counts_for) {
            trust.remarks.push_back(fmt::format(
                "{}: more than {} from these readings, it does not count for them",
                cell_check_text(check), to_text(std::chrono::seconds{comparison_counts_for})));
            continue;
        }
        if (check.finding == name_of(CellFinding::good)) good = true;
        // A zinc that looks right says nothing against what another cell has shown.
        const bool worse =
            check.finding == name_of(CellFinding::doubtful) && check.against == "cell";
        doubtful = doubtful || worse;
        trust.remarks.push_back(cell_check_text(check) +
                                (worse ? ": it counts as one that was not compared" : ""));
        if (check.finding == name_of(CellFinding::rejected))
            trust.rejected = "the reference cell was rejected: " + cell_check_text(check) +
                             "; its readings are not judged. Compare it with a third cell; a later "
                             "finding does not mend these readings";
    }
    if (of_others != 0 && trust.remarks.empty())
        trust.remarks.push_back(fmt::format(
            "{} comparison{} of a cell on record, none of {}", of_others, of_others == 1 ? "" : "s",
            cell.empty() ? "one without a number; the vessel file names no cell" : "cell " + cell));
    if (later != nullptr) {
        doubtful = true;
        trust.remarks.push_back(fmt::format(
            "{}: later than these readings, and no good comparison lies between; since when the "
            "cell was like that nobody knows, so that it counts as one that was not compared",
            cell_check_text(*later)));
    }
    if (doubtful || trust.rejected)
        trust.check = CellCheck::unchecked;
    else if (good)
        trust.check = CellCheck::same_day;
    return trust;
}

} // namespace quaycell
