#include "cli/trace_source.h"

#include "cli/archive_contents.h"
#include "cli/files.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <CLI/CLI.hpp>

namespace quaycell {

void add_trace_options(CLI::App& command, TraceOptions& options) {
    CLI::Option* trace = command.add_option("--trace", options.trace_file, "Trace CSV file");
    CLI::Option* archive =
        command.add_option("--archive", options.archive_file, "Archive that collect has filled");
    trace->excludes(archive);
    command
        .add_option("--deployment", options.deployment,
                    "Which of the archive's deployments, by number; else the last")
        ->needs(archive);
}

namespace {

Result<Trace> load_archive(const TraceOptions& options) {
    auto archive = Archive::open(options.archive_file, OpenMode::read);
    if (!archive) return archive.error();
    return trace_of(*archive, options.archive_file, options.deployment);
}

double median_of_present(std::vector<double> values) {
    std::erase_if(values, [](double value) { return std::isnan(value); });
    if (values.empty()) return missing_value;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, middle);
    return *middle;
}

} // namespace

Result<Trace> load_trace(const TraceOptions& options) {
    if (!options.archive_file.empty()) return load_archive(options);
    if (options.trace_file.empty())
        return Error{ErrorCode::wrong_usage, "there is nothing to read", "",
                     "Give --trace FILE.csv or --archive FILE."};
    const auto text = read_file(options.trace_file);
    if (!text) return text.error();
    return read_trace_csv(*text, options.trace_file);
}

Result<TraceJudgement> load_and_judge(const TraceOptions& source, const BoatOptions& boat_options,
                                      double worst_share) {
    auto trace = load_trace(source);
    if (!trace) return trace.error();
    BoatOptions options = boat_options;
    const double measured_c = median_of_present(trace->temperature_c);
    if (!options.water.temperature_c && !std::isnan(measured_c))
        options.water.temperature_c = measured_c;
    auto boat = boat_from(options, trace->cell_scale);
    if (!boat) return boat.error();
    auto rules = rules_of(*boat);
    if (!rules) return rules.error();
    auto standard = on_standard_scale(*trace, *boat);
    if (!standard) return standard.error();

    JudgedTrace judged = judge_trace(*trace, *rules, standard->standard_mv,
                                     standard->expanded_uncertainty_mv, worst_share);
    const Judgement at_median = judge(*rules, judged.statistics.median_mv,
                                      median_of_present(standard->expanded_uncertainty_mv));
    return TraceJudgement{std::move(trace).value(),    std::move(boat).value(),
                          std::move(rules).value(),    std::move(standard->expanded_uncertainty_mv),
                          std::move(judged),           at_median,
                          std::move(standard->reasons)};
}

} // namespace quaycell
