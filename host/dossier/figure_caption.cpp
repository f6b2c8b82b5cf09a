#include "dossier/figure_caption.h"

#include "chart/told.h"
#include "judging/correction_text.h"
#include "judging/water_json.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::size_t digits_shown = 12; ///< of 64: no two records come to agree in so many

/// Without the folder of a file that was named on the command line,
/// and without the loggers, which are told before it.
std::string readings_words(std::string name, const std::string& instrument, const Zone& zone) {
    const std::size_t slash = name.rfind('/', name.find(','));
    if (slash != std::string::npos) name.erase(0, slash + 1);
    const std::size_t logger = name.find(", logger ");
    if (logger != std::string::npos) {
        const std::size_t end = std::min(name.find(',', logger + 2), name.size());
        if (instrument.find(name.substr(logger + 2, end - logger - 2)) != std::string::npos)
            name.erase(logger, end - logger);
    }
    return with_times_in(name, zone);
}

std::string or_not_stated(const std::string& text, const char* what) {
    return text.empty() ? fmt::format("{} {}", what, not_stated) : text;
}

std::string scale_words(const TraceJudgement& judgement) {
    const Boat& boat = judgement.boat;
    std::string text =
        fmt::format("mV on agcl/seawater from a cell on {}{}", name_of(boat.cell_scale),
                    boat.cell_scale_assumed ? " (assumed)" : "");
    const double expanded_mv = judgement.explained.expanded_uncertainty_mv;
    if (std::isfinite(expanded_mv))
        text += fmt::format(", \u00B1 {} mV (k = 2)", told_uncertainty_mv(expanded_mv));
    return text;
}

std::string water_words(const Water& water) {
    std::string text = "water of " + to_text(water);
    for (const std::string& assumption : water.assumed)
        text += ", assumed: " + assumption;
    return text;
}

std::string criterion_words(const Criterion& criterion, bool in_full) {
    std::string text = fmt::format("{} by {}", criterion.subject, criterion.source);
    if (!criterion.edition.empty()) text += ", " + criterion.edition;
    if (!criterion.clause.empty()) text += ", clause " + criterion.clause;
    text += " (" + criterion.status;
    if (in_full && !criterion.note.empty()) text += ": " + criterion.note;
    return text + ')';
}

std::string criteria_words(const TraceJudgement& judgement, bool in_full) {
    std::string text;
    for (const RowJudgement& row : judgement.explained.rows)
        text += (text.empty() ? "" : ", ") + criterion_words(row.criterion, in_full);
    return text.empty() ? "no criterion for this water" : text;
}

std::string corrections_words(const std::vector<KnownCorrection>& corrections, const Zone& zone,
                              bool in_full) {
    if (corrections.empty()) return "";
    if (!in_full)
        return fmt::format("; {} correction{} applied", corrections.size(),
                           corrections.size() == 1 ? "" : "s");
    std::string text;
    for (const KnownCorrection& correction : corrections)
        text += "; " + correction_text(correction, zone);
    return text;
}

} // namespace

std::string period_text(const Readings& trace, const Zone& zone) {
    if (trace.time.empty()) return "";
    if (trace.time.size() == 1) return to_words(trace.time.front(), zone);
    return fmt::format("{} to {}", to_words(trace.time.front(), zone),
                       to_words(trace.time.back(), zone));
}

std::string evidence_words(const std::vector<ManifestLine>& files) {
    std::string text = "SHA-256";
    for (const ManifestLine& file : files)
        text +=
            (&file == &files.front() ? " " : ", ") + file.sha256.substr(0, digits_shown) + "\u2026";
    return text;
}

FigureCaption figure_caption(const TraceJudgement& judgement, const Zone& zone,
                             const InstrumentFacts& instrument,
                             const std::vector<ManifestLine>& files, double worst_share) {
    const Boat& boat = judgement.boat;
    const auto told = [&](bool in_full) {
        return fmt::format(
            "{} ({} hull), {}; {}; {}; {}; {}; overall: the worst verdict of more than {:g} % of "
            "the time; {}{}; readings {}, {}.",
            or_not_stated(boat.name, "boat"), name_of(boat.hull),
            or_not_stated(boat.berth, "place"),
            or_not_stated(period_text(judgement.trace, zone), "period"), scale_words(judgement),
            water_words(boat.water), criteria_words(judgement, in_full), 100 * worst_share,
            instrument.in_short, corrections_words(judgement.corrections, zone, in_full),
            readings_words(judgement.trace.name, instrument.in_short, zone), evidence_words(files));
    };
    return {told(false), told(true)};
}

} // namespace quaycell
