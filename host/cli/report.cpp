// quaycell report: the page that a surveyor can sign, as PDF or HTML.
#include "report/surveyor_report.h"

#include "chart/render_pdf.h"
#include "chart/text_width.h"
#include "cli/budget_text.h"
#include "cli/command.h"
#include "cli/correction_text.h"
#include "cli/figure.h"
#include "cli/files.h"
#include "cli/instrument_facts.h"
#include "cli/report_evidence.h"
#include "cli/trace_source.h"
#include "cli/water_json.h"
#include "diagnosis/advice.h"
#include "evidence/companions.h"
#include "evidence/pdf_attachments.h"
#include "report/html.h"
#include "report/pages.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    TraceOptions trace;
    BoatOptions boat;
    std::string inspection_file;
    std::string output;
    std::string paper{a4.name};
    double worst_share_percent = default_worst_share * 100;
    bool print_new_inspection = false;
};

Result<Inspection> inspection_from(const std::string& file) {
    if (file.empty()) return Inspection{};
    const auto text = read_file(file);
    if (!text) return text.error();
    return parse_inspection(*text, file);
}

std::vector<Entry> boat_facts(const Boat& boat) {
    std::vector<std::string> anodes;
    for (const AnodeFacts& anode : boat.anodes) {
        std::string text = fmt::format("{}, {}", anode.place, anode.alloy);
        if (anode.mass_kg) text += fmt::format(", {:g} kg", *anode.mass_kg);
        if (anode.fitted) text += ", fitted " + anode.fitted->text;
        anodes.push_back(text);
    }
    return {{"Hull", std::string(name_of(boat.hull))},
            {"Bonded metals", fmt::format("{}", fmt::join(boat.metals, ", "))},
            {"Anodes", fmt::format("{}", fmt::join(anodes, "; "))},
            {"Berth", boat.berth}};
}

std::vector<Entry> water_facts(const Water& water) {
    return {{"Water", to_text(water)},
            {"Assumed, because nobody said",
             water.assumed.empty() ? std::string("nothing")
                                   : fmt::format("{}", fmt::join(water.assumed, "; "))}};
}

std::vector<Entry> cell_facts(const Boat& boat) {
    return {{"Cell", boat.cell_serial},
            {"Scale of the cell",
             std::string(name_of(boat.cell_scale)) + (boat.cell_scale_assumed ? " (assumed)" : "")},
            {"Shown on", "agcl/seawater"},
            {"Last checked", boat.cell_last_check}};
}

/// What the report does not say elsewhere.
std::vector<std::string> not_said_yet(std::vector<std::string> texts,
                                      const std::vector<std::vector<std::string>>& said) {
    for (const auto& each : said)
        std::erase_if(texts, [&](const std::string& text) {
            return std::ranges::find(each, text) != each.end();
        });
    return texts;
}

/// The PDF with its evidence inside; what is too large for that is written beside it.
Result<std::string> pdf_of(const Document& document, const PageSize& size,
                           const std::string& output, Instant dated,
                           const std::vector<Attachment>& attachments,
                           const TextWidth& text_width) {
    const auto pdf = render_pdf(set_pages(document, size, text_width),
                                {document.title, document.subtitle, dated});
    if (!pdf) return pdf;
    const Carried carrying = carried(attachments);
    for (const Attachment& each : carrying.beside) {
        const std::string companion = companion_name(output, each.name);
        if (const auto written = write_file(companion, each.bytes); !written)
            return written.error();
        std::cerr << companion << ": too large to be attached, goes with the report\n";
    }
    return with_evidence(*pdf, carrying.inside, manifest_of(attachments));
}

Outcome run(const Options& options) {
    if (options.print_new_inspection) {
        std::cout << new_inspection_file();
        return Done{};
    }
    const std::string ending = std::filesystem::path(options.output).extension().string();
    if (ending != ".pdf" && ending != ".html")
        return Error{ErrorCode::wrong_usage, "the format of the report is not known",
                     options.output.empty() ? "--output" : options.output,
                     "Give --output with a name that ends in .pdf or .html."};
    if (auto error =
            would_destroy(options.output, {options.trace.trace_file, options.trace.archive_file,
                                           options.boat.vessel_file, options.boat.criteria_file,
                                           options.boat.budget_file, options.inspection_file}))
        return *error;
    const auto inspection = inspection_from(options.inspection_file);
    if (!inspection) return inspection.error();
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    const auto judgement = load_and_judge(options.trace, options.boat, *worst_share);
    if (!judgement) return judgement.error();
    const auto instrument = instrument_of(options.trace, *judgement);
    if (!instrument) return instrument.error();
    const Boat& boat = judgement->boat;
    const auto& time = judgement->trace.time;
    const auto budget = budget_of_trace(*judgement);
    if (!budget) return budget.error();

    const auto attachments =
        evidence_of(options.trace, options.boat, options.inspection_file, *judgement);
    if (!attachments) return attachments.error();

    std::vector<std::string> corrections;
    for (const KnownCorrection& correction : judgement->corrections)
        corrections.push_back(correction_text(correction));
    const TextWidth text_width = drawn_text_width();
    const PageSize& size = options.paper == letter.name ? letter : a4;
    const ReportFacts facts{
        *inspection,
        boat.name,
        boat_facts(boat),
        water_facts(boat.water),
        instrument->entries,
        cell_facts(boat),
        instrument->cell_checks,
        corrections,
        not_said_yet(judgement->reasons,
                     {corrections, instrument->cell_checks, {judgement->judged.trend.why_none}}),
        advice_for(judgement->explained, boat.hull, boat.metals, boat.water),
        cautions_for(judgement->explained, boat.hull, boat.metals, boat.water),
        judgement->trace,
        judgement->judged,
        judgement->explained,
        *budget,
        trace_causes(judgement->judged, in_its_water(boat), boat.cell_scale == Scale::agcl_open),
        *worst_share,
        figure_of(*judgement, size.text_width_mm(), {}, text_width),
        *attachments};
    const Instant dated = time.empty() ? Instant{} : time.back();
    const Document document = surveyor_report(facts);
    const auto report =
        ending == ".html" ? Result(to_html(document))
                          : pdf_of(document, size, options.output, dated, *attachments, text_width);
    if (!report) return report.error();
    if (const auto written = write_file(options.output, *report); !written) return written;
    std::cerr << fmt::format("{}: {} readings, {}\n", options.output, time.size(),
                             name_of(judgement->judged.overall));
    return Done{};
}

} // namespace

void add_report(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("report", "A report of a trace, to sign: PDF or one HTML file");
    add_trace_options(*command, options->trace);
    add_boat_options(*command, options->boat);
    add_worst_share_option(*command, options->worst_share_percent);
    command
        ->add_option("--inspection", options->inspection_file,
                     "What only you know: who, for whom, where the cell hung")
        ->type_name("FILE");
    command->add_flag("--new-inspection", options->print_new_inspection,
                      "Only print a file for --inspection to start from");
    command->add_option("--output", options->output, "File to write, .pdf or .html")
        ->type_name("FILE");
    command->add_option("--paper", options->paper, "Of the PDF")
        ->type_name("")
        ->check(CLI::IsMember({std::string(a4.name), std::string(letter.name)}))
        ->capture_default_str();
    command->footer(
        "Examples:\n"
        "  quaycell report --new-inspection > visit.toml\n"
        "  quaycell report --archive tern.quaycell --vessel tern.toml --inspection visit.toml "
        "--output tern.pdf\n"
        "  quaycell verify tern.pdf\n"
        "  quaycell report --trace week.csv --hull steel --output week.html");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
