#include "web/archive_pages.h"

#include "base/rounding.h"
#include "chart/numbered.h"
#include "chart/render_svg.h"
#include "chart/text_width.h"
#include "chart/trace_chart.h"
#include "dossier/report_making.h"
#include "judging/archive_contents.h"
#include "judging/json_text.h"
#include "judging/judged_survey.h"
#include "judging/judgement_text.h"
#include "web/week_memory.h"

#include <algorithm>
#include <boost/json.hpp>
#include <charconv>
#include <fmt/format.h>

namespace quaycell::web {

namespace {

namespace json = boost::json;

Response document(const json::value& value) {
    return {Status::ok, "application/json", to_line(value)};
}

Response refusal(const Error& error) {
    const bool asked_wrongly =
        error.code == ErrorCode::wrong_usage || error.code == ErrorCode::not_found;
    return words(asked_wrongly ? Status::bad_request : Status::failed,
                 error.remedy.empty() ? error.what : error.what + ". " + error.remedy);
}

/// UTC where the page does not say.
std::string zone_field(const Asked& asked) {
    const std::string zone = field(asked.query, "zone");
    return zone.empty() ? FigureOptions().zone : zone;
}

json::value begun(const ArchiveEntry& entry) {
    return entry.from ? json::value(to_text(*entry.from)) : nullptr;
}

Response boats(const ServedArchive& served) {
    auto read = read_archive(served.file);
    if (!read) return refusal(read.error());
    const auto surveys = read->archive.surveys();
    if (!surveys) return refusal(surveys.error());
    json::array deployments;
    for (const ArchiveEntry& entry : read->entries)
        deployments.push_back({{"number", entry.number},
                               {"from", begun(entry)},
                               {"origin", entry.origin},
                               {"readings", entry.readings}});
    json::array walks;
    for (const SurveyRow& survey : *surveys)
        walks.push_back({{"number", survey.number},
                         {"begun_at", to_text(survey.begun_at)},
                         {"boat", survey.boat},
                         {"instrument", survey.instrument}});
    const auto& losses = read->archive.losses();
    return document(json::object{{"deployments", deployments},
                                 {"surveys", walks},
                                 {"losses", json::array(losses.begin(), losses.end())}});
}

/// The numbers on the figure beside what they stand for.
void add_numbers(json::object& week, const TraceJudgement& judgement) {
    const auto of_events = event_numbers(judgement.judged.events, judgement.trace.time);
    json::array& events = week["events"].as_array();
    for (std::size_t i = 0; i < events.size(); ++i)
        events[i].as_object()["number"] = of_events[i];
    std::size_t next = 0;
    const auto of_spells = numbered_spells(judgement.judged);
    for (json::value& spell : week["spells"].as_array()) {
        const bool is_numbered = next < of_spells.size() && spell.at("from").as_string() ==
                                                                to_text(of_spells[next].spell.from);
        spell.as_object()["number"] = is_numbered ? of_spells[next++].number : "";
    }
}

double width_field(const Asked& asked) {
    constexpr Range width_mm{120, 320};
    double width = ChartOptions().width_mm;
    const std::string text = field(asked.query, "width");
    std::from_chars(text.data(), text.data() + text.size(), width);
    return std::clamp(width, width_mm.low, width_mm.high);
}

Response week(const ServedArchive& served, WeekMemory& memory, const Asked& asked) {
    TraceOptions source;
    source.archive_file = served.file;
    source.deployments = field(asked.query, "deployment");
    source.window = {field(asked.query, "from"), field(asked.query, "to")};
    const auto found = memory.judged(source, served.boat);
    if (!found) return refusal(found.error());
    const TraceJudgement* const judgement = *found;
    const auto& time = judgement->trace.time;
    if (time.empty()) return words(Status::bad_request, "There is no reading in this deployment.");
    FigureOptions options;
    options.zone = zone_field(asked);
    const auto zone = zone_of(options.zone, judgement->trace);
    if (!zone) return refusal(zone.error());
    const Scene scene =
        figure_of(*judgement, width_field(asked), options, *zone, {}, false, drawn_text_width());
    json::object object = trace_judgement_json(*judgement);
    add_numbers(object, *judgement);
    object["boat"] = judgement->boat.name;
    object["hull"] = name_of(judgement->boat.hull);
    object["from"] = to_text(time.front());
    object["to"] = to_text(time.back());
    object["figure"] = render_svg(scene);
    object["in_words"] = scene.description;
    return document(object);
}

/// The number of a survey; 0 where the text is none.
std::int64_t survey_number(const std::string& text) {
    std::int64_t number = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    return error == std::errc() && end == text.data() + text.size() && number > 0 ? number : 0;
}

Response not_a_survey() {
    return words(Status::bad_request, "A survey is asked for by its number.");
}

Response survey(const ServedArchive& served, const Asked& asked) {
    const std::int64_t number = survey_number(field(asked.query, "number"));
    if (number == 0) return not_a_survey();
    auto archive = open_to_read(served.file);
    if (!archive) return refusal(archive.error());
    auto kept = load_survey(*archive, number, served.file);
    if (!kept) return refusal(kept.error());
    const auto checks = archive->cell_checks();
    if (!checks) return refusal(checks.error());
    const auto judged = judge_survey(std::move(*kept), served.boat, *checks);
    if (!judged) return refusal(judged.error());
    return document(json::object{{"words", survey_text(*judged)}});
}

Response report(const ServedArchive& served, const Asked& asked) {
    ReportOptions options;
    options.trace.archive_file = served.file;
    options.trace.deployments = field(asked.query, "deployment");
    options.boat = served.boat;
    options.inspection_file = served.inspection_file;
    options.figure.zone = zone_field(asked);
    std::vector<std::string> said = served.said;
    if (asked.query.contains("survey")) {
        options.survey = survey_number(field(asked.query, "survey"));
        if (options.survey == 0) return not_a_survey();
        said.push_back(fmt::format("--survey={}", options.survey));
    }
    said.push_back("--zone=" + options.figure.zone);
    const auto sources = sources_of(options, std::move(said), std::nullopt);
    if (!sources) return refusal(sources.error());
    const auto made = make_report(options, ReportFormat::pdf, *sources);
    if (!made) return refusal(made.error());
    auto pdf = packed(*made, ReportFormat::pdf, "");
    if (!pdf) return refusal(pdf.error());
    if (!pdf->beside.empty())
        return words(Status::bad_request,
                     "So many readings do not fit into a PDF with their evidence. Make it at the "
                     "computer: quaycell report --archive FILE --output FILE.pdf.");
    return {Status::ok, "application/pdf", std::move(pdf->bytes), "quaycell-report.pdf"};
}

} // namespace

std::map<std::string, Route> archive_routes(ServedArchive archive) {
    const auto of_archive =
        [archive = std::make_shared<const ServedArchive>(std::move(archive))](auto answer) {
            return [archive, answer](const Asked& asked) {
                if (archive->file.empty())
                    return words(Status::bad_request,
                                 "quaycell serve was started without --archive FILE.");
                return answer(*archive, asked);
            };
        };
    // All routes are asked by one thread.
    const auto memory = std::make_shared<WeekMemory>();
    return {
        {"/api/boats", {false, of_archive([](const ServedArchive& served, const Asked&) {
                            return boats(served);
                        })}},
        {"/api/week", {false, of_archive([memory](const ServedArchive& served, const Asked& asked) {
                           return week(served, *memory, asked);
                       })}},
        {"/api/survey", {false, of_archive(survey)}},
        {"/api/report", {true, of_archive(report)}},
    };
}

} // namespace quaycell::web
