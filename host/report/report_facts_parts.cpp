#include "report/report_parts.h"

#include "chart/axis.h"
#include "chart/told.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::string millivolts(double mv, double expanded_uncertainty_mv) {
    return std::isfinite(mv) ? told_mv(mv, expanded_uncertainty_mv) + " mV" : "not known";
}

std::string with_minus_signs(std::string_view words) {
    std::string set;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const bool begins = i == 0 || words[i - 1] == ' ' || words[i - 1] == '(';
        const bool before_digit =
            i + 1 < words.size() && words[i + 1] >= '0' && words[i + 1] <= '9';
        if (words[i] == '-' && begins && before_digit)
            set += "−";
        else
            set += words[i];
    }
    return set;
}

std::string as_sentence(std::string text) {
    if (text.empty()) return text;
    if (text.front() >= 'a' && text.front() <= 'z')
        text.front() = static_cast<char>(text.front() - 'a' + 'A');
    if (std::string_view(".!?").find(text.back()) == std::string_view::npos) text += '.';
    return text;
}

namespace {

void add_paragraphs(Section& section, const std::vector<std::string>& texts) {
    for (const std::string& text : texts)
        section.blocks.emplace_back(Paragraph{as_sentence(text)});
}

} // namespace

std::string limits_of(const Criterion& criterion) {
    const auto limit = [](const char* beyond, const std::optional<double>& mv, const char* none) {
        return mv ? fmt::format("{}{} mV", beyond, number_text(*mv, 0)) : std::string(none);
    };
    const std::string protected_from =
        limit(criterion.kind == CriterionKind::shift ? "" : "protected from ",
              criterion.protected_from_mv, "no limit of protection is published");
    if (criterion.kind == CriterionKind::shift) return protected_from + " from the free potential";
    return protected_from + "; " +
           limit("over-protected at ", criterion.over_at_mv,
                 "no limit of over-protection is published");
}

std::string source_of(const Criterion& criterion) {
    std::string text = criterion.source;
    if (!criterion.edition.empty()) text += ", " + criterion.edition;
    if (!criterion.clause.empty()) text += ", clause " + criterion.clause;
    text += " (" + criterion.status + ")";
    if (!criterion.note.empty()) text += "; " + with_minus_signs(criterion.note);
    return text;
}

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
    boat.entries.push_back({"Afloat, and with these anodes, since",
                            said.since_launch.empty() ? facts.afloat_since : said.since_launch});
    boat.entries.push_back({"Log of the anodes", facts.anode_log});
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
    add_paragraphs(section, facts.cell_checks);
    if (facts.trace == nullptr) return section;
    if (facts.trace->corrections.empty())
        section.blocks.emplace_back(
            Paragraph{"The readings stand as they were recorded; nothing was corrected."});
    else
        section.blocks.emplace_back(
            Paragraph{"Corrected since the readings were recorded; the records themselves are kept "
                      "unchanged:"});
    add_paragraphs(section, facts.trace->corrections);
    return section;
}

namespace {

/// Each once.
void add_criteria(Section& section, std::string title, const std::vector<RowJudgement>& rows) {
    Table table{std::move(title),
                {{"Metal", 0.16}, {"Limits", 0.3}, {"Source, edition, status", 0.54}},
                {}};
    for (const RowJudgement& row : rows) {
        std::string limits = limits_of(row.criterion);
        if (row.criterion.scale) limits += ", on " + std::string(name_of(*row.criterion.scale));
        std::vector<std::string> cells{row.criterion.subject, limits, source_of(row.criterion)};
        if (std::ranges::find(table.rows, cells) == table.rows.end())
            table.rows.push_back(std::move(cells));
    }
    if (table.rows.empty())
        section.blocks.emplace_back(Paragraph{"No reading was judged by a criterion."});
    else
        section.blocks.emplace_back(std::move(table));
}

/// What decided at each point.
std::vector<RowJudgement> rows_of(const SurveyAssessment& assessment) {
    std::vector<RowJudgement> rows;
    for (const PointResult& result : assessment.points)
        rows.insert(rows.end(), result.judgement.rows.begin(), result.judgement.rows.end());
    return rows;
}

} // namespace

Section criteria_section(const ReportFacts& facts) {
    Section section{"Criteria", {}};
    if (facts.trace != nullptr)
        add_criteria(section, "Criteria that the readings of the trace were judged by",
                     facts.trace->explained.rows);
    if (facts.trace != nullptr && facts.trace->explained.conflict)
        section.blocks.emplace_back(Paragraph{"Conflict: " + *facts.trace->explained.conflict});
    if (facts.survey != nullptr)
        add_criteria(section, "Criteria that the points of the survey were judged by",
                     rows_of(facts.survey->assessment));
    section.blocks.emplace_back(Paragraph{
        "Status says how the row came to be known: a row that was not read in the document itself "
        "has to be confirmed there before this report is relied on."});
    return section;
}

Section uncertainty_section(const ReportFacts& facts) {
    Section section{"Uncertainty and decision rule", {}};
    Table table{"Budget of one reading",
                {{"From", 0.22},
                 {"Width", 0.11, Anchor::end},
                 {"Shape", 0.12},
                 {"Divisor", 0.08, Anchor::end},
                 {"mV a unit", 0.08, Anchor::end},
                 {"u, mV", 0.07, Anchor::end},
                 {"Source", 0.32}},
                {}};
    for (const BudgetLine& line : facts.budget.lines) {
        const double width_mv = line.value * std::abs(line.sensitivity);
        table.rows.push_back(
            {line.name, fmt::format("{:.3g} {}", line.value, line.unit),
             std::string(name_of(line.distribution)),
             width_mv > 0 ? fmt::format("{:.2f}", width_mv / line.standard_mv()) : "",
             fmt::format("{:.3g}", line.sensitivity), fmt::format("{:.2f}", line.standard_mv()),
             line.source});
    }
    section.blocks.emplace_back(std::move(table));
    section.blocks.emplace_back(
        Figure{facts.budget_chart, "Standard uncertainties, k = 1, and the share of each in the "
                                   "sum of squares."});
    section.blocks.emplace_back(
        Paragraph{fmt::format("Each u is the width, times the mV that a unit of it makes, through "
                              "the divisor of its shape: the square root of 3, 1.73, of a "
                              "rectangle (GUM, 4.3.7), less where its own width is in doubt; "
                              "1 of a standard deviation. "
                              "Expanded uncertainty of one reading, k = 2, after the GUM (JCGM "
                              "100:2008): {} mV. What is systematic is not averaged away. "
                              "Uncertainties are told to two significant digits at most and "
                              "potentials to the same place (GUM, 7.2.6); limits are those "
                              "published, and judged is with all digits.",
                              told_uncertainty_mv(facts.budget.expanded_mv()))});
    std::string rule = "A reading whose uncertainty holds a limit is undecided.";
    if (facts.trace != nullptr)
        rule += fmt::format(" The verdict on the whole time is the worst one that held for more "
                            "than {:g} % of the time covered.",
                            100 * facts.trace->worst_share);
    section.blocks.emplace_back(Paragraph{std::move(rule)});
    return section;
}

} // namespace quaycell
