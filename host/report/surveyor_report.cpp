#include "report/surveyor_report.h"

#include "report/report_parts.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

std::string footing(const ReportFacts& facts) {
    const Inspection& said = facts.inspection;
    std::string text = "Report";
    if (!said.number.empty()) text += ' ' + said.number;
    if (!said.date.empty()) text += ", " + said.date;
    return text + ", made with quaycell";
}

Section signature_section(const Inspection& inspection) {
    const std::string who =
        inspection.prepared_by.empty() ? "Name" : "Name: " + inspection.prepared_by;
    return {"Signature", {Signature{{who, "Place and date", "Signature"}}}};
}

} // namespace

Document surveyor_report(const ReportFacts& facts) {
    Document document;
    document.title = "Hull potential report";
    document.subtitle =
        facts.boat_name.empty() ? "Boat: " + std::string(not_stated) : facts.boat_name;
    if (!facts.inspection.place.empty()) document.subtitle += ", " + facts.inspection.place;
    document.evidence_number = evidence_number(facts.manifest);
    document.footing = footing(facts);
    document.sections = {summary_section(facts), who_and_what_section(facts), method_section(facts),
                         criteria_section(facts), uncertainty_section(facts)};
    if (facts.trace != nullptr) {
        document.sections.push_back(results_section(*facts.trace, facts.zone));
        document.sections.push_back(events_section(*facts.trace, facts.zone));
    }
    if (facts.survey != nullptr)
        document.sections.push_back(survey_section(*facts.survey, facts.zone));
    if (facts.anodes != nullptr) document.sections.push_back(anodes_section(*facts.anodes));
    for (Section section : {notes_section(facts), opinion_section(facts), evidence_section(facts),
                            signature_section(facts.inspection)})
        if (!section.blocks.empty()) document.sections.push_back(std::move(section));
    return document;
}

} // namespace quaycell
