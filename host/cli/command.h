// What every command is: options added to the program, and an action to run if the user chose it.
#pragma once

#include "base/result.h"

#include <functional>

namespace CLI {
class App;
}

namespace quaycell {

using Outcome = Result<Done>;

/// What the chosen command does, once the command line is read.
using Action = std::function<Outcome()>;

// One function a command, each in the file of its name. It adds the command's options to the
// program; when the user chose the command, `action` is what to run.
void add_ports(CLI::App& program, Action& action);
void add_status(CLI::App& program, Action& action);
void add_live(CLI::App& program, Action& action);
void add_deploy(CLI::App& program, Action& action);
void add_rearm(CLI::App& program, Action& action);
void add_erase(CLI::App& program, Action& action);
void add_note(CLI::App& program, Action& action);
void add_correct(CLI::App& program, Action& action);
void add_collect(CLI::App& program, Action& action);
void add_vessel(CLI::App& program, Action& action);
void add_judge(CLI::App& program, Action& action);
void add_trace(CLI::App& program, Action& action);
void add_report(CLI::App& program, Action& action);
void add_verify(CLI::App& program, Action& action);
void add_convert(CLI::App& program, Action& action);
void add_calibrate(CLI::App& program, Action& action);
void add_check_cell(CLI::App& program, Action& action);
void add_criteria(CLI::App& program, Action& action);
void add_scales(CLI::App& program, Action& action);
void add_survey(CLI::App& program, Action& action);
void add_anodes(CLI::App& program, Action& action);
void add_serve(CLI::App& program, Action& action);
void add_import(CLI::App& program, Action& action);
void add_export(CLI::App& program, Action& action);

} // namespace quaycell
