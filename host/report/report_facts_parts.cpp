#include "report/report_parts.h"

#include "chart/axis.h"
#include "chart/told.h"

#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::string millivolts(double mv, double expanded_uncertainty_mv) {
    return std::isfinite(mv) ? told_mv(mv, expanded_uncertainty_mv) + " mV" : "not known";
}

std::string as_sentence(std::string text) {
    if (text.empty()) return text;
    if (text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    if (std::string_view(".!?").find(text.back()) == std::string_view::npos) text += '.';
    return text;
}

namespace {

void add_paragraphs(Section& section, const std::vector<std::string>& texts, Voice voice) {
    for (const std::string& text : texts)
        section.blocks.emplace_back(Paragraph{as_sentence(text), voice});
}

std::string limits_of_criterion(const Criterion& criterion) {
    const auto limit = [](const std::optional<double>& mv) {
        return mv ? number_text(*mv, 0) + " mV" : std::string("none published");
    };
    if (criterion.kind == CriterionKind::shift)
        return fmt::format("{} from the free potential", limit(criterion.protected_from_mv));
    return fmt::format("protected from {}; over-protected at {}",
                       limit(criterion.protected_from_mv), limit(criterion.over_at_mv));
}

std::string source_of(const Criterion& criterion) {
    std::string text = criterion.source;
    if (!criterion.edition.empty()) text += ", " + criterion.edition;
    if (!criterion.clause.empty()) text += ", clause " + criterion.clause;
    text += " (" + criterion.status + ")";
    if (!criterion.note.empty()) text += "; " + criterion.note;
    return text;
}

} // namespace

Section who_and_what_section(const ReportFacts& facts) {
    const Inspection& said = facts.inspection;
    Section section{"Who, what and where", {}};
    section.blocks.emplace_back(Facts{{{"Report", said.number},
                                       {"Date of the report", said.date},
                                       {"Prepared by", said.prepared_by},
                                       {"Qualification", said.qualification},
                                       {"Prepared for", said.prepared_for},
                                       {"Place", said.place},
                                       {"Scope", said.scope},
                                       {"Limits of the inspection", said.limits},
                                       {"Not inspected", said.not_inspected}}});
    Facts boat{{{"Boat", facts.boat_name}}};
    boat.entries.insert(boat.entries.end(), facts.boat.begin(), facts.boat.end());
    boat.entries.push_back({"Coating", said.coating});
    boat.entries.push_back({"Afloat, and with these anodes, since", said.since_launch});
    section.blocks.emplace_back(std::move(boat));
    return section;
}

Section method_section(const ReportFacts& facts) {
    const Inspection& said = facts.inspection;
    Section section{"Method and instruments", {}};
    Facts method{{{"Where the cell hung", said.cell_hung},
                  {"Connection to the hull", said.connection},
                  {"Polarity", said.polarity},
                  {"Shore power and isolation", said.shore_power},
                  {"Weather", said.weather},
                  {"Tide", said.tide}}};
    for (const auto* more : {&facts.instrument, &facts.cell, &facts.water})
        method.entries.insert(method.entries.end(), more->begin(), more->end());
    section.blocks.emplace_back(std::move(method));
    if (facts.cell_checks.empty())
        section.blocks.emplace_back(
            Paragraph{"No comparison of the cell with another cell or a zinc is on record."});
    add_paragraphs(section, facts.cell_checks, Voice::fact);
    if (facts.corrections.empty())
        section.blocks.emplace_back(
            Paragraph{"The readings stand as they were recorded; nothing was corrected."});
    else
        section.blocks.emplace_back(
            Paragraph{"Corrected since the readings were recorded; the records themselves are kept "
                      "unchanged:"});
    add_paragraphs(section, facts.corrections, Voice::fact);
    return section;
}

Section criteria_section(const ReportFacts& facts) {
    Section section{"Criteria", {}};
    if (facts.explained.rows.empty())
        section.blocks.emplace_back(Paragraph{"No reading was judged by a criterion."});
    else {
        Table table{"Criteria that the readings were judged by",
                    {{"Metal", 0.16}, {"Limits", 0.3}, {"Source, edition, status", 0.54}},
                    {}};
        for (const RowJudgement& row : facts.explained.rows) {
            std::string limits = limits_of_criterion(row.criterion);
            if (row.criterion.scale) limits += ", on " + std::string(name_of(*row.criterion.scale));
            table.rows.push_back({row.criterion.subject, limits, source_of(row.criterion)});
        }
        section.blocks.emplace_back(std::move(table));
    }
    if (facts.explained.conflict)
        section.blocks.emplace_back(Paragraph{"Conflict: " + *facts.explained.conflict});
    section.blocks.emplace_back(Paragraph{
        "Status says how the row came to be known: a row that was not read in the document itself "
        "has to be confirmed there before this report is relied on."});
    return section;
}

Section uncertainty_section(const ReportFacts& facts) {
    Section section{"Uncertainty and decision rule", {}};
    Table table{"Budget of one reading",
                {{"From", 0.28}, {"Width", 0.2}, {"u, mV", 0.12, Anchor::end}, {"Source", 0.4}},
                {}};
    for (const BudgetLine& line : facts.budget.lines)
        table.rows.push_back({line.name, fmt::format("{:.3g} {}", line.value, line.unit),
                              fmt::format("{:.2f}", line.standard_mv()), line.source});
    section.blocks.emplace_back(std::move(table));
    section.blocks.emplace_back(
        Figure{facts.budget_chart, "Standard uncertainties, k = 1, and the share of each in the "
                                   "sum of squares."});
    section.blocks.emplace_back(
        Paragraph{fmt::format("Expanded uncertainty of one reading, k = 2, after the GUM (JCGM "
                              "100:2008): {} mV. What is systematic is not averaged away. "
                              "Uncertainties are told to two significant digits at most and "
                              "potentials to the same place (GUM, 7.2.6); limits are those "
                              "published, and judged is with all digits.",
                              told_uncertainty_mv(facts.budget.expanded_mv()))});
    section.blocks.emplace_back(
        Paragraph{fmt::format("A reading whose uncertainty holds a limit is undecided. The verdict "
                              "on the whole time is the "
                              "worst one that held for more than {:g} % of the time covered.",
                              100 * facts.worst_share)});
    return section;
}

} // namespace quaycell
