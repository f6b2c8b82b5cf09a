#include "chart/bands.h"

#include "chart/axis.h"

#include <cmath>
#include <fmt/format.h>
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
    if (!limit.criterion) return "";
    const Criterion& from = *limit.criterion;
    std::string text = from.source;
    if (!from.edition.empty()) text += ", " + from.edition;
    if (!from.status.empty()) text += fmt::format(" ({})", from.status);
    return text;
}

std::string limit_text(double value_mv) {
    return number_text(value_mv, 0);
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
        if ((rule.decides || rule.over_counts) && band.over_at_mv &&
            *band.over_at_mv > over_at.at_mv)
            over_at = {*band.over_at_mv, &rule.criterion};
    }
    const auto named = [](Verdict verdict, const Limit& limit) {
        std::string label{name_of(verdict)};
        if (limit.criterion && !limit.criterion->subject.empty())
            label += fmt::format(" ({})", limit.criterion->subject);
        return label;
    };
    std::vector<ChartBand> bands;
    if (protected_from.criterion)
        bands.push_back({Verdict::under_protected, open_end, protected_from.at_mv,
                         named(Verdict::under_protected, protected_from),
                         source_text(protected_from)});
    if (protected_from.criterion && protected_from.at_mv > over_at.at_mv)
        bands.push_back({Verdict::protected_, protected_from.at_mv, over_at.at_mv,
                         named(Verdict::protected_, protected_from), source_text(protected_from)});
    if (over_at.criterion)
        bands.push_back({Verdict::over_protected, over_at.at_mv, -open_end,
                         named(Verdict::over_protected, over_at), source_text(over_at)});
    return bands;
}

std::string limits_text(const ChartBand& band) {
    const bool open_above = std::isinf(band.from_mv);
    const bool open_below = std::isinf(band.to_mv);
    if (open_above && open_below) return "";
    if (open_above) return fmt::format("less negative than {} mV", limit_text(band.to_mv));
    if (open_below && band.verdict == Verdict::protected_)
        return fmt::format("from {} mV, no other limit", limit_text(band.from_mv));
    if (open_below) return fmt::format("more negative than {} mV", limit_text(band.from_mv));
    return fmt::format("{} to {} mV", limit_text(band.from_mv), limit_text(band.to_mv));
}

} // namespace quaycell
