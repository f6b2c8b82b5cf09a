// A trace from a CSV file or an archive, put on agcl/seawater and judged for a boat.
#pragma once

#include "base/result.h"
#include "judging/archive_trace.h"
#include "judging/boat.h"
#include "judging/trace_window.h"
#include "series/judged.h"

#include <string>
#include <vector>

namespace CLI {
class Option;
}

namespace quaycell {

/// --trace or --archive with --deployment and --uncorrected; --from and --to.
struct TraceOptions {
    std::string trace_file;
    std::string archive_file;
    std::string deployments; ///< as parse_wanted() reads it
    bool uncorrected = false;
    WindowOptions window;
};

void add_trace_options(CLI::App& command, TraceOptions& options);

/// Reads the trace, of which only the window counts; exactly one of the two sources has to be
/// given.
Result<SourcedTrace> load_trace(const TraceOptions& options);

/// What --from and --to leave of a trace that was read whole.
Result<SourcedTrace> narrowed(SourcedTrace sourced, const WindowOptions& options);

/// Every reading on agcl/seawater with its expanded uncertainty; missing_value in both where the
/// reading cannot be judged.
struct StandardTrace {
    Column<ByConstants> standard_mv;
    Column<double> expanded_uncertainty_mv;
    /// Why some cannot be, in words; to be called once all have been read.
    std::function<std::vector<std::string>()> reasons = [] { return std::vector<std::string>(); };
};

/// Temperature and salinity of each reading come from the command line, else from the trace where
/// it has them, else from the boat's water.
StandardTrace on_standard_scale(const Readings& trace, const Boat& boat, const WaterOptions& said);

/// The water of one reading, chosen in that way.
Water water_of_reading(const Readings& trace, std::size_t row, const Boat& boat,
                       const WaterOptions& said);

/// The boat of a trace: what the trace tells of its cell and its water counts.
Result<Boat> boat_of_trace(const Readings& trace, const BoatOptions& options);

/// A trace with all that is said of it.
struct TraceJudgement {
    Readings trace;
    Boat boat;
    Rules rules;
    JudgedTrace judged;
    /// What the criteria say where the overall verdict held: judged at the median of those
    /// readings.
    Judgement explained;
    std::vector<std::string> reasons;
    std::vector<KnownCorrection> corrections; ///< that were applied to the trace
};

/// Of one reading in the boat's own water; the readings' temperatures and salinities make their
/// own.
Result<Budget> budget_of_trace(const TraceJudgement& judged);

/// --worst-share, in percent, and the fraction it stands for.
CLI::Option* add_worst_share_option(CLI::App& command, double& percent);
Result<double> worst_share_from(double percent);

struct JudgeSettings {
    double worst_share;                   ///< fraction
    std::optional<double> uncertainty_mv; ///< in place of the budget, for every reading
    /// What the computer's clock says; nothing where no reading lay ahead of it.
    std::optional<Instant> clock;
};

/// Whether the last reading was taken later than it can have been by this clock: by more than an
/// hour, which clocks may differ by.
bool lies_ahead(const Readings& trace, Instant clock);

Result<TraceJudgement> judge_sourced(SourcedTrace sourced, const BoatOptions& options,
                                     const JudgeSettings& settings);

/// Loads, and does the same.
Result<TraceJudgement> load_and_judge(const TraceOptions& source, const BoatOptions& options,
                                      const JudgeSettings& settings);

/// What this computer's clock says, in milliseconds: the clock's nanoseconds end in the year 2262.
Instant clock_now();

} // namespace quaycell
