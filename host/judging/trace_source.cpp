#include "judging/trace_source.h"

#include "base/rounding.h"
#include "chart/told.h"
#include "electrode/budget.h"
#include "judging/archive_contents.h"
#include "judging/cell_checks.h"
#include "judging/date_to_come.h"
#include "judging/files.h"
#include "series/robust.h"
#include "series/trace_csv.h"

#include <algorithm>
#include <chrono>
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
    add_window_options(command, options.window);
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
    const auto wanted = parse_wanted(options.deployments);
    if (!wanted) return wanted.error();
    auto archive = read_archive(options.archive_file);
    if (!archive) return archive.error();
    return trace_of(*archive, options.archive_file, *wanted,
                    options.uncorrected ? ReadAs::recorded : ReadAs::corrected);
}

Result<SourcedTrace> load_whole(const TraceOptions& options) {
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

/// The rules were chosen for the boat's water. A reading whose own salinity lies outside what the
/// deciding criteria apply to gets no verdict.
class OtherWater {
  public:
    OtherWater(Column<double> salinity_psu, const Rules& rules)
        : salinity_psu_(std::move(salinity_psu)) {
        for (const Rule& rule : rules.rules)
            if (rule.decides)
                applies_.push_back(
                    {rule.criterion.salinity_min_psu, rule.criterion.salinity_max_psu});
    }

    void leave_out(StandardTrace& standard) const {
        if (salinity_psu_.empty()) return;
        standard.standard_mv = without(standard.standard_mv);
        standard.expanded_uncertainty_mv = without(standard.expanded_uncertainty_mv);
    }

    void tell(std::vector<std::string>& reasons) const {
        std::size_t left_out = 0;
        for (std::size_t row = 0; row < salinity_psu_.size(); ++row)
            left_out += is_outside(row);
        if (left_out != 0)
            reasons.push_back(
                fmt::format("{} readings have no verdict: no criterion is published for their "
                            "salinity",
                            left_out));
    }

  private:
    bool is_outside(std::size_t row) const {
        const double psu = salinity_psu_[row];
        return std::ranges::any_of(
            applies_, [psu](const Range& range) { return psu < range.low || psu > range.high; });
    }

    template <typename Value>
    Column<Value> without(const Column<Value>& column) const {
        return {column.size(), [column, water = *this](std::size_t first, std::span<Value> out) {
                    column.read(first, out);
                    for (std::size_t i = 0; i < out.size(); ++i)
                        if (water.is_outside(first + i)) out[i] = missing_value;
                }};
    }

    Column<double> salinity_psu_;
    std::vector<Range> applies_;
};

void tell_impossible(const JudgedTrace& judged, std::vector<std::string>& reasons) {
    if (judged.impossible == 0) return;
    reasons.push_back(fmt::format(
        "{} readings have no verdict: they are beyond what any metal shows in sea water, {:.0f} to "
        "{:+.0f} mV; look for swapped leads, a dry cell or its lead",
        judged.impossible, possible_mv.low, possible_mv.high));
}

/// The same uncertainty for every reading that has one.
Column<double> in_place_of(const Column<double>& uncertainty_mv, double given_mv) {
    return {uncertainty_mv.size(),
            [uncertainty_mv, given_mv](std::size_t first, std::span<double> out) {
                uncertainty_mv.read(first, out);
                for (double& each_mv : out)
                    if (!std::isnan(each_mv)) each_mv = given_mv;
            }};
}

/// What the criteria say where nothing was judged.
Judgement nothing_judged(const Rules& rules, double expanded_uncertainty_mv, bool measured) {
    Judgement none;
    none.nothing_measured = !measured;
    none.potential_mv = missing_value;
    none.expanded_uncertainty_mv = expanded_uncertainty_mv;
    none.conflict = rules.conflict;
    if (rules.no_verdict) none.reasons.push_back(*rules.no_verdict);
    return none;
}

/// The range of a column that has a value at every reading.
std::optional<Range> whole_range_of(const Column<double>& column) {
    if (column.empty()) return std::nullopt;
    Range range{column.front(), column.front()};
    for (std::size_t row = 0; row < column.size(); ++row) {
        const double value = column[row];
        if (std::isnan(value)) return std::nullopt;
        range = {std::min(range.low, value), std::max(range.high, value)};
    }
    return range;
}

/// Rules for the middle of a measured salinity; single readings outside what they apply to are left
/// out one by one.
Result<Rules> rules_of_trace(const Readings& trace, Boat boat, const WaterOptions& said) {
    if (!names_water(said) && whole_range_of(trace.salinity_psu)) {
        const double middle_psu = median_of(trace.salinity_psu);
        boat.water.salinity_psu = {middle_psu, middle_psu};
    }
    return rules_of(boat);
}

bool has_any(const Column<double>& values) {
    for (std::size_t row = 0; row < values.size(); ++row)
        if (!std::isnan(values[row])) return true;
    return false;
}

/// What is wrong with a trace as a whole, however its readings are judged.
void tell_oddities(const Readings& trace, const Boat& boat, const std::optional<Instant>& clock,
                   std::vector<std::string>& reasons) {
    if (!has_any(trace.potential_mv))
        reasons.push_back("no reading has a potential: there is nothing to judge");
    if (clock && lies_ahead(trace, *clock))
        reasons.push_back(fmt::format("the last reading, {}, lay in the future when this was "
                                      "judged, {}: one of the two clocks was wrong. `quaycell "
                                      "correct --move-times` puts an archive's readings right",
                                      to_text(trace.time.back()), to_text(*clock)));
    for (const Refit& refit : boat.refits)
        if (clock && is_to_come(refit.when, *clock))
            reasons.push_back(fmt::format("{}, {}: the vessel file gives a date that lies in the "
                                          "future; put it right, or this computer's clock",
                                          refit.what, refit.when.text));
}

void add_share(const JudgedTrace& judged, const Judgement& explained, double worst_share,
               std::vector<std::string>& reasons) {
    if (!std::isfinite(explained.potential_mv)) return;
    const std::string median =
        rounded_text(explained.potential_mv, told_decimals_mv(explained.expanded_uncertainty_mv));
    const std::string rule =
        fmt::format("the worst verdict that holds for more than {:g} % counts", 100 * worst_share);
    const std::string held = fmt::format("{} for {} of the {}", name_of(judged.overall),
                                         percent_text(judged.share.of(judged.overall)),
                                         judged.covered_s == 0 ? "readings" : "time covered");
    reasons.insert(
        reasons.begin(),
        judged.overall == explained.verdict
            ? fmt::format("{}, {} mV the median of those readings; {}", held, median, rule)
            : fmt::format("{}; {}; besides, {} held longest, {} mV the median of those "
                          "readings",
                          held, rule, name_of(explained.verdict), median));
}

} // namespace

Result<SourcedTrace> load_trace(const TraceOptions& options) {
    auto whole = load_whole(options);
    if (!whole) return whole;
    return narrowed(std::move(*whole), options.window);
}

Result<SourcedTrace> narrowed(SourcedTrace sourced, const WindowOptions& options) {
    const auto window = window_from(options);
    if (!window) return window.error();
    if (!*window) return sourced;
    auto part = within(sourced.trace, **window);
    if (!part) return part.error();
    sourced.trace = std::move(*part);
    return sourced;
}

Result<Boat> boat_of_trace(const Readings& trace, const BoatOptions& options) {
    TraceFacts facts;
    facts.cell_scale = trace.cell_scale;
    const double measured_c = median_of(trace.temperature_c);
    if (!std::isnan(measured_c)) facts.temperature_c = measured_c;
    facts.salinity_psu = whole_range_of(trace.salinity_psu);
    if (trace.calibration) facts.meter = trace.calibration->meter;
    return boat_from(options, facts);
}

bool lies_ahead(const Readings& trace, Instant clock) {
    constexpr std::chrono::hours clocks_differ{1};
    return !trace.time.empty() && trace.time.back() > clock + clocks_differ;
}

Instant clock_now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

Result<TraceJudgement> load_and_judge(const TraceOptions& source, const BoatOptions& options,
                                      const JudgeSettings& settings) {
    auto sourced = load_trace(source);
    if (!sourced) return sourced.error();
    return judge_sourced(std::move(*sourced), options, settings);
}

Result<TraceJudgement> judge_sourced(SourcedTrace sourced, const BoatOptions& options,
                                     const JudgeSettings& settings) {
    const std::optional<double>& uncertainty_mv = settings.uncertainty_mv;
    Readings* const trace = &sourced.trace;
    auto boat = boat_of_trace(*trace, options);
    if (!boat) return boat.error();
    auto rules = rules_of_trace(*trace, *boat, options.water);
    if (!rules) return rules.error();
    if (!trace->time.empty()) {
        CellTrust trust = trust_in(sourced.cell_checks, boat->cell_serial, trace->time.front(),
                                   trace->time.back());
        if (trust.check) boat->cell_check = trust.check;
        if (trust.rejected) rules->no_verdict = trust.rejected;
        std::ranges::move(trust.remarks, std::back_inserter(sourced.remarks));
        if (!boat->cell_check && !boat->cell_last_check.empty() &&
            cell_check_of(*boat, trace->time.front(), trace->time.back()) == CellCheck::unchecked)
            sourced.remarks.push_back(fmt::format(
                "the cell counts as not compared: the vessel file's date, {}, tells no result and "
                "is not that of all these readings. `quaycell check-cell` keeps comparisons with "
                "theirs",
                boat->cell_last_check));
    }
    StandardTrace standard = on_standard_scale(*trace, *boat, options.water);
    if (uncertainty_mv) set_shift_uncertainty(*rules, *uncertainty_mv);
    if (uncertainty_mv)
        standard.expanded_uncertainty_mv =
            in_place_of(standard.expanded_uncertainty_mv, *uncertainty_mv);
    const OtherWater other_water(
        names_water(options.water) ? Column<double>() : trace->salinity_psu, *rules);
    other_water.leave_out(standard);

    JudgedTrace judged =
        judge_trace(*trace, *rules, standard.standard_mv, standard.expanded_uncertainty_mv,
                    settings.worst_share, boat->refits);
    const auto explained = [&]() -> Result<Judgement> {
        const std::optional<std::size_t> row = judged.typical_row;
        if (!row)
            return nothing_judged(*rules, median_of(standard.expanded_uncertainty_mv),
                                  has_any(trace->potential_mv));
        if (uncertainty_mv) return judge(*rules, standard.standard_mv[*row], *uncertainty_mv);
        const auto budget =
            reading_budget(boat->cell_scale, water_of_reading(*trace, *row, *boat, options.water),
                           cell_check_of(*boat, trace->time.front(), trace->time.back()),
                           boat->budget_terms, boat->meter);
        if (!budget) return budget.error();
        return judge(*rules, standard.standard_mv[*row], budget->spread());
    }();
    if (!explained) return explained.error();
    std::vector<std::string> reasons = standard.reasons();
    other_water.tell(reasons);
    tell_impossible(judged, reasons);
    tell_oddities(*trace, *boat, settings.clock, reasons);
    if (judged.not_of_hull != 0)
        reasons.push_back(
            fmt::format("{} readings have no verdict: they do not show the hull in its water, see "
                        "the events",
                        judged.not_of_hull));
    add_share(judged, *explained, settings.worst_share, reasons);
    reasons.insert(reasons.end(), sourced.remarks.begin(), sourced.remarks.end());
    if (trace->calibration && !trace->time.empty() && trace->time.back() > trace->calibration->due)
        reasons.push_back(
            fmt::format("the logger's calibration had to be repeated by {}, and these readings go "
                        "on after that",
                        to_text(trace->calibration->due)));
    if (trace->ended)
        reasons.push_back(fmt::format("{}, {}", trace->ended->why, to_text(trace->ended->time)));
    if (!judged.trend.why_none.empty()) reasons.push_back(judged.trend.why_none);
    return TraceJudgement{std::move(*trace),
                          std::move(boat).value(),
                          std::move(rules).value(),
                          std::move(judged),
                          *explained,
                          std::move(reasons),
                          std::move(sourced.corrections)};
}

Result<Budget> budget_of_trace(const TraceJudgement& judged) {
    const auto& time = judged.trace.time;
    const CellCheck check =
        time.empty() ? CellCheck::unchecked : cell_check_of(judged.boat, time.front(), time.back());
    return reading_budget(judged.boat.cell_scale, judged.boat.water, check,
                          judged.boat.budget_terms, judged.boat.meter);
}

} // namespace quaycell
