// quaycell trace: the figure of a judged trace.
#include "chart/render_pdf.h"
#include "chart/render_png.h"
#include "chart/render_svg.h"
#include "chart/text_width.h"
#include "chart/trace_chart.h"
#include "cli/command.h"
#include "dossier/figure.h"
#include "dossier/instrument_facts.h"
#include "judging/correction_text.h"
#include "judging/files.h"
#include "judging/trace_source.h"

#include <CLI/CLI.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    TraceOptions trace;
    BoatOptions boat;
    FigureOptions figure;
    std::string output;
    std::string format; ///< empty: by the file's ending
    double width_mm = ChartOptions{}.width_mm;
    double dpi = 200;
    double worst_share_percent = default_worst_share * 100;
};

constexpr Range figure_width_mm{120, 1000};
constexpr Range figure_dpi{36, 1200};

Result<std::string> format_of(const Options& options) {
    if (!options.format.empty()) return options.format;
    const std::string ending = std::filesystem::path(options.output).extension().string();
    if (ending == ".svg" || ending == ".png" || ending == ".pdf") return ending.substr(1);
    return Error{ErrorCode::wrong_usage, "the format of the figure is not known", options.output,
                 "Let the name end in .svg, .png or .pdf, or give --format."};
}

std::vector<ManifestLine> digests_of(const std::vector<TakenFile>& files) {
    std::vector<ManifestLine> digests;
    for (const TakenFile& file : files)
        digests.push_back({file.taker->sha256(), file.name});
    return digests;
}

Result<std::string> rendered(const Scene& scene, const std::string& format, double dpi,
                             Instant dated) {
    if (format == "svg") return render_svg(scene);
    if (format == "png") return render_png(scene, dpi);
    return render_pdf(std::span(&scene, 1), {scene.title, scene.description, dated});
}

Outcome run(const Options& options) {
    const auto format = format_of(options);
    if (!format) return format.error();
    if (auto error =
            would_destroy(options.output, {options.trace.trace_file, options.trace.archive_file,
                                           options.boat.vessel_file.path}))
        return *error;
    const auto worst_share = worst_share_from(options.worst_share_percent);
    if (!worst_share) return worst_share.error();
    auto gathered = gather_trace(options.trace, file_takers());
    if (!gathered) return gathered.error();
    auto sourced = narrowed(std::move(gathered->whole), options.trace.window);
    if (!sourced) return sourced.error();
    const auto judgement =
        judge_sourced(std::move(*sourced), options.boat, {*worst_share, {}, clock_now()});
    if (!judgement) return judgement.error();

    const auto zone = zone_of(options.figure.zone, judgement->trace);
    if (!zone) return zone.error();

    const FigureCaption caption =
        figure_caption(*judgement, *zone, instrument_of(gathered->origin, *judgement, std::nullopt),
                       digests_of(gathered->files), *worst_share);
    const Scene scene = figure_of(*judgement, options.width_mm, options.figure, *zone, caption,
                                  true, drawn_text_width());
    const auto& time = judgement->trace.time;
    const auto picture =
        rendered(scene, *format, options.dpi, time.empty() ? Instant{} : time.back());
    if (!picture) return picture.error();
    const auto written = write_file(options.output, *picture);
    if (!written) return written;
    for (const KnownCorrection& correction : judgement->corrections)
        std::cerr << correction_text(correction, *zone) << '\n';
    std::cerr << fmt::format("{}: {} readings, {}\n", options.output, judgement->trace.time.size(),
                             name_of(judgement->judged.overall));
    return Done{};
}

} // namespace

void add_trace(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("trace", "Draw a trace with the bands of its hull");
    add_trace_options(*command, options->trace);
    add_boat_options(*command, options->boat);
    add_worst_share_option(*command, options->worst_share_percent);
    add_figure_options(*command, options->figure);
    command->add_option("--output", options->output, "File to write")
        ->type_name("FILE")
        ->required();
    command->add_option("--format", options->format, "svg, png or pdf; else by the file's ending")
        ->type_name("")
        ->check(CLI::IsMember({"svg", "png", "pdf"}));
    command->add_option("--width-mm", options->width_mm, "Width of the figure")
        ->type_name("MM")
        ->check(CLI::Range(figure_width_mm.low, figure_width_mm.high))
        ->capture_default_str();
    command->add_option("--dpi", options->dpi, "Dots per inch of a PNG")
        ->type_name("N")
        ->check(CLI::Range(figure_dpi.low, figure_dpi.high))
        ->capture_default_str();
    command->footer(
        "Examples:\n"
        "  quaycell trace --archive tern.quaycell --vessel tern.toml --output tern.svg\n"
        "  quaycell trace --trace week.csv --hull steel --output week.png --width-mm 160 --dpi "
        "300\n"
        "  quaycell trace --archive tern.quaycell --vessel tern.toml --output night.pdf --zone "
        "Europe/Amsterdam --from 2026-05-04T20:00:00+02:00 --to 2026-05-05T08:00:00+02:00");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
