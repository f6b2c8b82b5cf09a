#include "cli/trace_source.h"

#include "cli/archive_contents.h"
#include "cli/cell_checks.h"
#include "cli/files.h"
#include "electrode/budget.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

void add_trace_options(CLI::App& command, TraceOptions& options) {
    CLI::Option* trace =
        command.add_option("--trace", options.trace_file, "Trace CSV file")->type_name("FILE");
    CLI::Option* archive =
        command.add_option("--archive", options.archive_file, "Archive that collect has filled")
            ->type_name("FILE");
    trace->excludes(archive);
    command
        .add_option("--deployment", options.deployments,
                    "Which of the archive's deployments, by number; several of one boat, 2,3,5 or "
                    "all, are read as one trace; else the last")
        ->type_name("N")
        ->needs(archive);
    command
        .add_flag("--uncorrected", options.uncorrected,
                  "As it was recorded, without what `quaycell correct` has put right")
        ->needs(archive);
}

CLI::Option* add_worst_share_option(CLI::App& command, double& percent) {
    return command
        .add_option("--worst-share", percent,
                    "A trace gets the worst verdict that held for more than this share of the "
                    "time, %")
        ->type_name("PERCENT")
        ->capture_default_str();
}

Result<double> worst_share_from(double percent) {
    if (percent >= 0 && percent < 100) return percent / 100;
    return Error{ErrorCode::wrong_usage, "a share of time lies between 0 and 100 %",
                 "--worst-share", ""};
}

namespace {

Result<SourcedTrace> load_archive(const TraceOptions& options) {
    auto archive = open_to_read(options.archive_file);
    if (!archive) return archive.error();
    const auto wanted = parse_wanted(options.deployments);
    if (!wanted) return wanted.error();
    return trace_of(*archive, options.archive_file, *wanted,
                    options.uncorrected ? ReadAs::recorded : ReadAs::corrected);
}

double median_of_present(std::vector<double> values) {
    std::erase_if(values, [](double value) { return std::isnan(value); });
    if (values.empty()) return missing_value;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::ranges::nth_element(values, middle);
    return *middle;
}

/// The rules were chosen for the boat's water. A reading whose own salinity lies outside what the
/// deciding criteria apply to gets no verdict.
void leave_out_other_water(const Trace& trace, const Rules& rules, StandardTrace& standard) {
    std::size_t left_out = 0;
    for (std::size_t row = 0; row < trace.salinity_psu.size(); ++row) {
        const double salinity_psu = trace.salinity_psu[row];
        const bool outside = std::ranges::any_of(rules.rules, [&](const Rule& rule) {
            return rule.decides && (salinity_psu < rule.criterion.salinity_min_psu ||
                                    salinity_psu > rule.criterion.salinity_max_psu);
        });
        if (!outside) continue;
        standard.standard_mv[row] = missing_value;
        standard.expanded_uncertainty_mv[row] = missing_value;
        ++left_out;
    }
    if (left_out != 0)
        standard.reasons.push_back(fmt::format(
            "{} readings have no verdict: no criterion is published for their salinity", left_out));
}

void tell_impossible(StandardTrace& standard) {
    const auto count = std::ranges::count_if(standard.standard_mv, [](const ByConstants& mv) {
        return std::isfinite(mv.less_negative_mv()) && !is_possible(mv);
    });
    if (count != 0)
        standard.reasons.push_back(
            fmt::format("{} readings have no verdict: they are beyond what any metal shows in sea "
                        "water, {:.0f} "
                        "to {:+.0f} mV; look for swapped leads, a dry cell or its lead",
                        count, possible_mv.low, possible_mv.high));
}

/// The middle one of the readings with the overall verdict, so that what explains it is judged
/// where it held.
std::optional<std::size_t> middle_where_it_held(const JudgedTrace& judged,
                                                std::span<const ByConstants> standard_mv) {
    std::vector<std::size_t> held;
    for (std::size_t row = 0; row < judged.verdict.size(); ++row)
        if (judged.verdict[row] == judged.overall) held.push_back(row);
    if (held.empty() || judged.overall == Verdict::no_verdict) return std::nullopt;
    const auto middle = held.begin() + static_cast<std::ptrdiff_t>(held.size() / 2);
    std::ranges::nth_element(held, middle, {},
                             [&](std::size_t row) { return standard_mv[row].less_negative_mv(); });
    return *middle;
}

/// What the criteria say where nothing was judged.
Judgement nothing_judged(const Rules& rules, double expanded_uncertainty_mv) {
    Judgement none;
    none.potential_mv = missing_value;
    none.expanded_uncertainty_mv = expanded_uncertainty_mv;
    none.conflict = rules.conflict;
    if (rules.no_verdict) none.reasons.push_back(*rules.no_verdict);
    return none;
}

/// The range of a column that has a value at every reading.
std::optional<Range> whole_range_of(const std::vector<double>& column) {
    if (column.empty() || std::ranges::any_of(column, [](double v) { return std::isnan(v); }))
        return std::nullopt;
    const auto [low, high] = std::ranges::minmax(column);
    return Range{low, high};
}

/// Rules for the middle of a measured salinity; single readings outside what they apply to are left
/// out one by one.
Result<Rules> rules_of_trace(const Trace& trace, Boat boat, const WaterOptions& said) {
    if (!names_water(said) && whole_range_of(trace.salinity_psu)) {
        const double middle_psu = median_of_present(trace.salinity_psu);
        boat.water.salinity_psu = {middle_psu, middle_psu};
    }
    return rules_of(boat);
}

/// What is wrong with a trace as a whole, however its readings are judged.
void tell_oddities(const Trace& trace, std::vector<std::string>& reasons) {
    constexpr std::chrono::hours clocks_differ{1};
    // In milliseconds, as the readings: the clock's nanoseconds end in the year 2262.
    const auto now = std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
    if (std::ranges::all_of(trace.potential_mv, [](double v) { return std::isnan(v); }))
        reasons.push_back("no reading has a potential: there is nothing to judge");
    if (!trace.time.empty() && trace.time.back() > now + clocks_differ)
        reasons.push_back(fmt::format("the last reading, {}, lies in the future: the clock that "
                                      "timed it was wrong. `quaycell correct --move-times` puts an "
                                      "archive's readings right",
                                      to_text(trace.time.back())));
}

void add_share(const JudgedTrace& judged, const Judgement& explained, double worst_share,
               std::vector<std::string>& reasons) {
    if (!std::isfinite(explained.potential_mv)) return;
    reasons.insert(reasons.begin(),
                   fmt::format("{} for {:.1f} % of the {}, with a median of {:.0f} mV; "
                               "the worst verdict that holds for more than {:g} % counts",
                               name_of(judged.overall), 100 * judged.share.of(judged.overall),
                               judged.covered_s == 0 ? "readings" : "time covered",
                               explained.potential_mv, 100 * worst_share));
}

} // namespace

Result<SourcedTrace> load_trace(const TraceOptions& options) {
    if (!options.archive_file.empty()) return load_archive(options);
    if (options.trace_file.empty())
        return Error{ErrorCode::wrong_usage, "there is nothing to read", "",
                     "Give --trace FILE.csv or --archive FILE."};
    const auto text = read_file(options.trace_file);
    if (!text) return text.error();
    auto trace = read_trace_csv(*text, options.trace_file);
    if (!trace) return trace.error();
    return SourcedTrace{std::move(*trace), {}, {}, {}};
}

Result<Boat> boat_of_trace(const Trace& trace, const BoatOptions& options) {
    TraceFacts facts;
    facts.cell_scale = trace.cell_scale;
    const double measured_c = median_of_present(trace.temperature_c);
    if (!std::isnan(measured_c)) facts.temperature_c = measured_c;
    facts.salinity_psu = whole_range_of(trace.salinity_psu);
    if (trace.calibration) facts.meter = trace.calibration->meter;
    return boat_from(options, facts);
}

Result<TraceJudgement> load_and_judge(const TraceOptions& source, const BoatOptions& options,
                                      double worst_share, std::optional<double> uncertainty_mv) {
    auto sourced = load_trace(source);
    if (!sourced) return sourced.error();
    Trace* const trace = &sourced->trace;
    auto boat = boat_of_trace(*trace, options);
    if (!boat) return boat.error();
    auto rules = rules_of_trace(*trace, *boat, options.water);
    if (!rules) return rules.error();
    if (!trace->time.empty()) {
        CellTrust trust = trust_in(sourced->cell_checks, boat->cell_serial, trace->time.front(),
                                   trace->time.back());
        boat->cell_checked = boat->cell_checked || trust.checked;
        if (trust.rejected) rules->no_verdict = trust.rejected;
        std::ranges::move(trust.remarks, std::back_inserter(sourced->remarks));
    }
    StandardTrace standard = on_standard_scale(*trace, *boat, options.water);
    if (uncertainty_mv) set_shift_uncertainty(*rules, *uncertainty_mv);
    if (uncertainty_mv)
        for (double& each_mv : standard.expanded_uncertainty_mv)
            if (!std::isnan(each_mv)) each_mv = *uncertainty_mv;
    if (!names_water(options.water)) leave_out_other_water(*trace, *rules, standard);
    tell_impossible(standard);
    tell_oddities(*trace, standard.reasons);

    JudgedTrace judged = judge_trace(*trace, *rules, standard.standard_mv,
                                     standard.expanded_uncertainty_mv, worst_share, boat->refits);
    const auto explained = [&]() -> Result<Judgement> {
        const auto row = middle_where_it_held(judged, standard.standard_mv);
        if (!row)
            return nothing_judged(*rules, median_of_present(standard.expanded_uncertainty_mv));
        if (uncertainty_mv) return judge(*rules, standard.standard_mv[*row], *uncertainty_mv);
        const auto budget =
            reading_budget(boat->cell_scale, water_of_reading(*trace, *row, *boat, options.water),
                           cell_check_of(*boat, trace->time.front(), trace->time.back()),
                           boat->budget_terms, boat->meter);
        if (!budget) return budget.error();
        return judge(*rules, standard.standard_mv[*row], budget->spread());
    }();
    if (!explained) return explained.error();
    if (judged.not_of_hull != 0)
        standard.reasons.push_back(
            fmt::format("{} readings have no verdict: they do not show the hull in its water, see "
                        "the events",
                        judged.not_of_hull));
    add_share(judged, *explained, worst_share, standard.reasons);
    standard.reasons.insert(standard.reasons.end(), sourced->remarks.begin(),
                            sourced->remarks.end());
    if (trace->calibration && !trace->time.empty() && trace->time.back() > trace->calibration->due)
        standard.reasons.push_back(
            fmt::format("the logger's calibration had to be repeated by {}, and these readings go "
                        "on after that",
                        to_text(trace->calibration->due)));
    if (trace->ended)
        standard.reasons.push_back(
            fmt::format("{}, {}", trace->ended->why, to_text(trace->ended->time)));
    if (!judged.trend.why_none.empty()) standard.reasons.push_back(judged.trend.why_none);
    return TraceJudgement{std::move(*trace),           std::move(boat).value(),
                          std::move(rules).value(),    std::move(standard.expanded_uncertainty_mv),
                          std::move(judged),           *explained,
                          std::move(standard.reasons), std::move(sourced->corrections)};
}

} // namespace quaycell
