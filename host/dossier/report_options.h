// What the command line says of a report, and what of it goes with the report.
#pragma once

#include "dossier/figure.h"
#include "judging/boat.h"
#include "judging/trace_source.h"

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace quaycell {

struct ReportOptions {
    TraceOptions trace;
    BoatOptions boat;
    FigureOptions figure;
    GivenFile inspection_file;
    std::string output;
    std::string paper;
    double worst_share_percent;
    std::int64_t survey = 0;  ///< to report alone, without a trace; 0: the report is of a trace
    std::string haul_out;     ///< the next one planned; empty: none is
    bool replace = false;     ///< a report of the same name that says something else
    std::string key_file;     ///< to sign with; empty: nobody signs
    std::string new_key_file; ///< to be made, in place of a report
    bool print_new_inspection = false;

    ReportOptions();
};

/// The files written by hand that the options name, with what each is called in a report.
std::vector<std::pair<const char*, GivenFile*>> files_by_hand(ReportOptions& options);

void add_report_options(CLI::App& command, ReportOptions& options);

/// What was said, "--hull=steel", but for files and for what the trace's origin tells: with those
/// two the same report can be made again.
std::vector<std::string> said_options(const CLI::App& command);

/// The options again. Error (wrong_input): something else, or one that said_options() leaves out: a
/// report from elsewhere must not name files of this computer.
Result<ReportOptions> parse_said_options(const std::vector<std::string>& said,
                                         const std::string& where);

} // namespace quaycell
