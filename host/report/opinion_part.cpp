#include "report/report_parts.h"

#include "chart/axis.h"
#include "chart/told.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell {

namespace {

std::string date_text(Instant time, const Zone& zone) {
    return to_words(time, zone).substr(0, 10);
}

/// When the drift leads out of the band.
std::string band_exit_text(const BandExit& exit, const Zone& zone) {
    const std::string when = exit.latest
                                 ? fmt::format("between {} and {}", date_text(exit.earliest, zone),
                                               date_text(*exit.latest, zone))
                                 : fmt::format("not before {}", date_text(exit.earliest, zone));
    return fmt::format("{} mV is reached {}: the drift's interval, and ± {} mV of the reading",
                       number_text(exit.limit_mv, 0), when,
                       told_uncertainty_mv(exit.expanded_uncertainty_mv));
}

void add_cause(const TraceCause& cause, Section& section) {
    std::string text =
        fmt::format("{} For it: {}.", cause.cause, fmt::join(cause.speaks_for, "; "));
    if (!cause.speaks_against.empty())
        text += fmt::format(" Against it: {}.", fmt::join(cause.speaks_against, "; "));
    if (!cause.test.empty()) text += fmt::format(" To tell: {}", cause.test);
    text += fmt::format(" (Source: {}; {}.)", cause.source, cause.status);
    section.blocks.emplace_back(Paragraph{with_minus_signs(text), Voice::opinion});
    if (!cause.caution.empty())
        section.blocks.emplace_back(Paragraph{std::string(cause.caution), Voice::caution});
}

void add_finding(const SurveyFinding& finding, Section& section) {
    std::string text = fmt::format("{}{}{}", finding.point, finding.point.empty() ? "" : ": ",
                                   with_minus_signs(finding.what));
    if (!finding.test.empty()) text += ' ' + std::string(finding.test);
    if (!finding.source.empty())
        text += fmt::format(" (Source: {}{}{}.)", finding.source,
                            finding.status.empty() ? "" : "; ", finding.status);
    section.blocks.emplace_back(Paragraph{std::move(text), Voice::opinion});
    if (!finding.caution.empty())
        section.blocks.emplace_back(Paragraph{std::string(finding.caution), Voice::caution});
}

} // namespace

Section opinion_section(const ReportFacts& facts) {
    Section section{"Opinion and advice", {}};
    section.blocks.emplace_back(Paragraph{
        "What follows is inference from the readings above, not a finding. It does not replace an "
        "inspection of anodes, bonding and wiring; local codes and licensed trades come first."});
    section.blocks.emplace_back(Facts{{{"The surveyor's opinion", facts.inspection.opinion}}});
    if (facts.trace != nullptr) {
        const ReportedTrace& trace = *facts.trace;
        for (const TraceCause& cause : trace.causes)
            add_cause(cause, section);
        if (const auto& exit = trace.judged.band_exit)
            section.blocks.emplace_back(Paragraph{
                "If the drift goes on as it was: " + band_exit_text(*exit, facts.zone) + ".",
                Voice::opinion});
        for (const std::string& advice : trace.advice)
            section.blocks.emplace_back(Paragraph{advice, Voice::opinion});
    }
    if (facts.survey != nullptr) {
        section.blocks.emplace_back(Paragraph{facts.survey->findings.empty()
                                                  ? "The survey gives no reason for advice."
                                                  : "From the survey:"});
        for (const SurveyFinding& finding : facts.survey->findings)
            add_finding(finding, section);
    }
    if (facts.anodes != nullptr) add_anode_opinion(*facts.anodes, section);
    return section;
}

} // namespace quaycell
