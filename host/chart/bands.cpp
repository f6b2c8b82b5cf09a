#include "chart/bands.h"

#include "chart/axis.h"
#include "chart/told.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <limits>

namespace quaycell {

namespace {

constexpr double open_end = std::numeric_limits<double>::infinity();

/// A limit and the criterion it comes from.
struct Limit {
    double at_mv;
    const Criterion* criterion = nullptr;
};

std::string source_text(const Limit& limit) {
    const Criterion& from = *limit.criterion;
    std::string text = from.source;
    if (!from.edition.empty()) text += ", " + from.edition;
    if (!from.status.empty()) text += fmt::format(" ({})", from.status);
    return text;
}

/// From where on a metal without a published negative limit leaves open what the hull's row calls
/// protected; the other end of that stretch where there is no such metal.
Limit unknown_from_limit(const Rules& rules, double protected_from_mv, double over_at_mv) {
    Limit from{over_at_mv};
    for (const Rule& rule : rules.rules) {
        if (!rule.over_unknown || !rule.band.protected_from_mv) continue;
        const double at_mv = std::min(*rule.band.protected_from_mv, protected_from_mv);
        if (at_mv > from.at_mv) from = {at_mv, &rule.criterion};
    }
    return from;
}

} // namespace

std::vector<ChartBand> bands_of(const Rules& rules) {
    if (rules.no_verdict)
        return {{Verdict::no_verdict, open_end, -open_end,
                 std::string(name_of(Verdict::no_verdict)), *rules.no_verdict}};
    // The strictest limit of each end counts, as in the verdict.
    Limit protected_from{open_end};
    Limit over_at{-open_end};
    for (const Rule& rule : rules.rules) {
        const Band& band = rule.band;
        if (rule.decides && band.protected_from_mv &&
            *band.protected_from_mv < protected_from.at_mv)
            protected_from = {*band.protected_from_mv, &rule.criterion};
        if (rule.over_counts && band.over_at_mv && *band.over_at_mv > over_at.at_mv)
            over_at = {*band.over_at_mv, &rule.criterion};
    }
    const Limit unknown_from = unknown_from_limit(rules, protected_from.at_mv, over_at.at_mv);
    // Where all is about one subject, the hull, everybody knows whose limits they are.
    const Criterion* const subject = protected_from.criterion;
    const auto is_other = [subject](const Limit& limit) {
        return subject && limit.criterion && limit.criterion->subject != subject->subject;
    };
    const bool one_subject = !is_other(over_at) && !is_other(unknown_from);
    std::vector<ChartBand> bands;
    const auto add = [&](Verdict verdict, double from_mv, double to_mv, const Limit& limit,
                         const char* remark = "") {
        if (!limit.criterion || from_mv <= to_mv) return;
        std::string label{name_of(verdict)};
        if (!one_subject) label += fmt::format(" ({})", limit.criterion->subject);
        bands.push_back({verdict, from_mv, to_mv, label, remark + source_text(limit)});
    };
    add(Verdict::under_protected, open_end, protected_from.at_mv, protected_from);
    add(Verdict::protected_, protected_from.at_mv, unknown_from.at_mv, protected_from);
    add(Verdict::undecided, unknown_from.at_mv, over_at.at_mv, unknown_from,
        "no negative limit published: ");
    add(Verdict::over_protected, over_at.at_mv, -open_end, over_at);
    return bands;
}

std::vector<double> limits_of(const std::vector<ChartBand>& bands) {
    std::vector<double> limits;
    for (const ChartBand& band : bands)
        for (const double end : {band.from_mv, band.to_mv})
            if (std::isfinite(end)) limits.push_back(end);
    std::sort(limits.begin(), limits.end(), std::greater<>());
    limits.erase(std::unique(limits.begin(), limits.end()), limits.end());
    return limits;
}

std::vector<ChartBand> with_undecided(std::vector<ChartBand> bands,
                                      double expanded_uncertainty_mv) {
    const std::string source = fmt::format("within {} mV (k = 2) of a limit",
                                           told_uncertainty_mv(expanded_uncertainty_mv));
    const std::size_t given = bands.size();
    for (const double limit : limits_of(bands)) {
        const double from = limit + expanded_uncertainty_mv;
        const double to = limit - expanded_uncertainty_mv;
        if (bands.size() > given && bands.back().to_mv <= from)
            bands.back().to_mv = to; // the zones of two limits meet
        else
            bands.push_back({Verdict::undecided, from, to, std::string(name_of(Verdict::undecided)),
                             source, true});
    }
    return bands;
}

std::string limits_text(const ChartBand& band) {
    const bool open_above = std::isinf(band.from_mv);
    const bool open_below = std::isinf(band.to_mv);
    if ((open_above && open_below) || band.zone) return "";
    if (open_above) return fmt::format("less negative than {} mV", number_text(band.to_mv, 0));
    if (open_below && band.verdict != Verdict::over_protected)
        return fmt::format("from {} mV, no other limit", number_text(band.from_mv, 0));
    if (open_below) return fmt::format("more negative than {} mV", number_text(band.from_mv, 0));
    return fmt::format("{} to {} mV", number_text(band.from_mv, 0), number_text(band.to_mv, 0));
}

} // namespace quaycell
