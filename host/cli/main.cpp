// Reads the command line, runs what it asks for, says in words what went wrong.
#include "cli/command.h"
#include "cli/fitted.h"
#include "cli/thread_bug.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <exception>
#include <fcntl.h>
#include <iostream>
#include <unistd.h>

namespace {

constexpr const char* about =
    "Quaycell tells whether the underwater metal of a boat is protected from corrosion.\n"
    "It reads a logger that measures the hull's potential against a silver/silver-chloride cell,\n"
    "puts the reading on the scale the criteria are written in, and judges it for the hull.\n";

constexpr const char* examples =
    "Examples:\n"
    "  quaycell judge --potential -870 --hull aluminium     judge one reading, from any meter\n"
    "  quaycell live --port /dev/ttyUSB0 --hull steel       watch the logger at the dock\n"
    "  quaycell deploy --port /dev/ttyUSB0 --interval 10    leave the logger aboard\n"
    "  quaycell collect --port /dev/ttyUSB0 --archive tern.quaycell\n"
    "  quaycell trace --archive tern.quaycell --vessel tern.toml --output tern.svg\n"
    "\n"
    "Nobody should be in the water near a dock that carries electricity. Quaycell cannot tell\n"
    "whether water or a dock is safe; local rules and licensed trades come first.\n";

bool is_option(const char* argument) {
    return argument[0] == '-';
}

bool has_command(const CLI::App& program, const std::string& name) {
    const auto all = program.get_subcommands([](const CLI::App*) { return true; });
    return std::any_of(all.begin(), all.end(),
                       [&](const CLI::App* command) { return command->get_name() == name; });
}

/// 0, or 1 with a word when standard output did not take everything: a full disk, a closed pipe.
int all_written() {
    std::cout.flush();
    if (std::cout) return 0;
    std::cerr
        << "quaycell: standard output did not take the whole answer. Look whether the disk is "
           "full.\n";
    return 1;
}

/// A port opened in the place of a closed standard stream would get the words meant for the user.
bool occupy_standard_streams() {
    int descriptor = 0;
    do {
        descriptor = ::open("/dev/null", O_RDONLY); // read only: writing there fails and is noticed
    } while (descriptor >= 0 && descriptor <= STDERR_FILENO);
    return descriptor > STDERR_FILENO && ::close(descriptor) == 0;
}

int run(int argument_count, char** arguments) {
    CLI::App program(about, "quaycell");
    program.footer(examples);
    program.require_subcommand(1);
    program.set_version_flag("--version", "quaycell " QUAYCELL_VERSION);

    quaycell::Action action;
    for (const auto add :
         {quaycell::add_ports,      quaycell::add_status,    quaycell::add_live,
          quaycell::add_deploy,     quaycell::add_collect,   quaycell::add_vessel,
          quaycell::add_judge,      quaycell::add_trace,     quaycell::add_report,
          quaycell::add_verify,     quaycell::add_convert,   quaycell::add_import,
          quaycell::add_export,     quaycell::add_rearm,     quaycell::add_erase,
          quaycell::add_note,       quaycell::add_correct,   quaycell::add_criteria,
          quaycell::add_check_cell, quaycell::add_calibrate, quaycell::add_scales,
          quaycell::add_survey,     quaycell::add_anodes,    quaycell::add_serve})
        add(program, action);

    if (argument_count > 1 && !is_option(arguments[1]) && !has_command(program, arguments[1])) {
        std::cerr << "quaycell: there is no command \"" << arguments[1]
                  << "\". Run `quaycell --help` for those there are.\n";
        return 2;
    }
    try {
        program.parse(argument_count, arguments);
    } catch (const CLI::Success& help) {
        program.exit(help, std::cout, std::cerr);
        return all_written();
    } catch (const CLI::ConversionError& error) {
        std::cerr << quaycell::fitted_words(
            std::string("quaycell: ") + error.what() +
            ". Numbers are written with a point and without a unit, for instance 12.5.\n");
        return 2;
    } catch (const CLI::ParseError& error) {
        std::cerr << quaycell::fitted_words(
            std::string("quaycell: ") + error.what() +
            "\nRun `quaycell --help`, or --help after a command.\n");
        return 2;
    }

    const quaycell::Outcome outcome = action();
    if (outcome) return all_written();
    std::cerr << quaycell::fitted_words("quaycell: " + quaycell::to_text(outcome.error()) + '\n');
    return quaycell::exit_code(outcome.error());
}

} // namespace

int main(int argument_count, char** arguments) {
    if (!occupy_standard_streams()) return 1;
    try {
        return run(argument_count, arguments);
    } catch (const std::exception& bug) {
        std::cerr << "quaycell: " << quaycell::bug_words(bug) << '\n';
        return 1;
    }
}
