#include "judging/cell_checks.h"

#include "electrode/cell_check.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

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

struct Period {
    Instant first;
    Instant last;
};

bool is_good(const CellCheckRow& check) {
    return check.finding == name_of(CellFinding::good);
}

bool is_rejection(const CellCheckRow& check) {
    return check.finding == name_of(CellFinding::rejected);
}

/// A zinc that looks right says nothing against what another cell has shown.
bool is_worse(const CellCheckRow& check) {
    return is_rejection(check) ||
           (check.finding == name_of(CellFinding::doubtful) && check.against == "cell");
}

bool is_near(Instant at, Period readings) {
    return at >= readings.first - comparison_counts_for &&
           at <= readings.last + comparison_counts_for;
}

/// From the first good comparison to the last: between two of them the cell was good all the time.
std::optional<Period> good_time(const std::vector<CellCheckRow>& of_cell) {
    std::optional<Period> good;
    for (const CellCheckRow& check : of_cell) {
        if (!is_good(check)) continue;
        if (!good) good = Period{check.at, check.at};
        good = Period{std::min(good->first, check.at), std::max(good->last, check.at)};
    }
    return good;
}

/// Why readings lie outside of what good comparisons speak for; empty: none does.
std::string why_not_covered(Period good, Period readings) {
    const std::string margin = to_text(std::chrono::seconds{comparison_counts_for});
    std::string why;
    if (readings.first < good.first - comparison_counts_for)
        why += fmt::format("; the first good one, {}, is more than {} after the first reading: "
                           "compare it before it goes out",
                           to_text(good.first), margin);
    if (readings.last > good.last + comparison_counts_for)
        why += fmt::format("; the last good one, {}, is more than {} before the last reading: "
                           "compare it again when it comes home",
                           to_text(good.last), margin);
    return why.empty() ? why
                       : "by these comparisons the cell counts as one that was not compared" + why +
                             ". Readings between two good comparisons count, and those within a "
                             "day of one";
}

/// Whether a good comparison lies between this one and the readings.
bool is_parted(const CellCheckRow& check, const std::vector<CellCheckRow>& of_cell,
               Period readings) {
    return std::ranges::any_of(of_cell, [&](const CellCheckRow& other) {
        return is_good(other) && ((check.at < other.at && other.at <= readings.first) ||
                                  (readings.last <= other.at && other.at < check.at));
    });
}

/// What follows from one that was worse: how the cell was between it and the readings nobody knows.
std::string why_not_compared(const CellCheckRow& check, Period readings) {
    const std::string_view between =
        check.at < readings.first  ? "earlier than these readings, and no good comparison lies "
                                     "between; whether the cell was better by then nobody knows, "
        : check.at > readings.last ? "later than these readings, and no good comparison lies "
                                     "between; since when the cell was like that nobody knows, "
                                   : "amid these readings, ";
    return fmt::format("{}: {}so that it counts as one that was not compared",
                       cell_check_text(check), between);
}

} // namespace

CellTrust trust_in(const std::vector<CellCheckRow>& checks, const std::string& cell, Instant first,
                   Instant last) {
    const Period readings{first, last};
    std::vector<CellCheckRow> of_cell;
    std::ranges::copy_if(checks, std::back_inserter(of_cell),
                         [&](const CellCheckRow& check) { return check.cell == cell; });
    CellTrust trust;
    bool worse = false;
    for (const CellCheckRow& check : of_cell) {
        const bool near = is_near(check.at, readings);
        const bool parted = is_parted(check, of_cell, readings);
        if (near && is_rejection(check)) {
            trust.remarks.push_back(cell_check_text(check));
            trust.rejected = "the reference cell was rejected: " + cell_check_text(check) +
                             "; its readings are not judged. Compare it with a third cell; a later "
                             "finding does not mend these readings";
        } else if (is_worse(check) && !parted) {
            trust.remarks.push_back(why_not_compared(check, readings));
            worse = true;
        } else if (is_worse(check)) {
            trust.remarks.push_back(
                cell_check_text(check) +
                ": a good comparison lies between it and these readings, it does not count for "
                "them");
        } else if (near || (is_good(check) && !parted)) {
            trust.remarks.push_back(cell_check_text(check));
        } else {
            trust.remarks.push_back(fmt::format(
                "{}: more than {} from these readings, it does not count for them",
                cell_check_text(check), to_text(std::chrono::seconds{comparison_counts_for})));
        }
    }
    if (of_cell.empty() && !checks.empty())
        trust.remarks.push_back(fmt::format(
            "{} comparison{} of a cell on record, none of {}", checks.size(),
            checks.size() == 1 ? "" : "s",
            cell.empty() ? "one without a number; the vessel file names no cell" : "cell " + cell));
    if (worse || trust.rejected) {
        trust.check = CellCheck::unchecked;
    } else if (const auto good = good_time(of_cell)) {
        const std::string why_not = why_not_covered(*good, readings);
        if (why_not.empty())
            trust.check = CellCheck::checked;
        else
            trust.remarks.push_back(why_not);
    }
    return trust;
}

} // namespace quaycell
