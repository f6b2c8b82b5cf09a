// quaycell vessel new | check
#include "cli/command.h"
#include "judging/date_to_come.h"
#include "judging/files.h"
#include "judging/options.h"
#include "judging/trace_source.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <iostream>

namespace quaycell {

namespace {

struct NewOptions {
    std::string file;
    std::string name;
    std::string hull;
};

Outcome write_new(const NewOptions& options) {
    const auto hull = hull_named(options.hull);
    if (!hull) return hull.error();
    if (std::filesystem::exists(options.file))
        return Error{ErrorCode::refused, "this file exists and is left as it is", options.file,
                     "Choose another name, or edit the file by hand."};
    const std::string text = new_vessel_file(options.name, *hull);
    if (!parse_vessel(text, options.file))
        return Error{ErrorCode::wrong_usage, "this name is not text in UTF-8", "--name",
                     "Write it in a terminal that is set to UTF-8, or in plain letters."};
    const auto written = write_file(options.file, text);
    if (!written) return written;
    std::cerr << "Wrote " << options.file << ". Open it, fill in what you know, then run:\n"
              << "  quaycell vessel check " << options.file << '\n';
    return Done{};
}

Outcome check(const std::string& file) {
    const auto vessel = load_vessel(GivenFile{file, {}});
    if (!vessel) return vessel.error();
    if (auto error = date_to_come(*vessel, clock_now(), file)) return *error;
    std::cout << file << ": a good vessel file for \"" << vessel->name << "\", hull "
              << name_of(vessel->hull) << ", " << vessel->metals.size() << " metals, "
              << vessel->points.size() << " points, " << vessel->anodes.size() << " anodes.\n";
    if (vessel->launched) std::cout << "Launched " << vessel->launched->text << ".\n";
    for (const AnodeFacts& anode : vessel->anodes)
        if (anode.fitted)
            std::cout << "Anode at " << anode.place << " fitted " << anode.fitted->text << ".\n";
    if (vessel->launched || std::ranges::any_of(vessel->anodes, [](const AnodeFacts& anode) {
            return anode.fitted.has_value();
        }))
        std::cout << "What is read in the day after is marked as settling.\n";
    if (!vessel->cell.scale)
        std::cerr << "It does not say what cell is used ([cell] scale); agcl/open is assumed.\n";
    return Done{};
}

} // namespace

void add_vessel(CLI::App& program, Action& action) {
    CLI::App* vessel = program.add_subcommand("vessel", "Start or check a vessel file");
    vessel->require_subcommand(1);
    vessel->footer("Examples:\n"
                   "  quaycell vessel new tern.toml --name Tern --hull aluminium\n"
                   "  quaycell vessel check tern.toml");

    CLI::App* start = vessel->add_subcommand("new", "Write a vessel file to fill in");
    const auto options = std::make_shared<NewOptions>();
    start->add_option("file", options->file, "The file to write")->type_name("")->required();
    start->add_option("--name", options->name, "The boat's name")->type_name("NAME")->required();
    start->add_option("--hull", options->hull, "steel, aluminium, wood, grp or grp-aluminium-drive")
        ->type_name("HULL")
        ->required();
    start->callback([options, &action] { action = [options] { return write_new(*options); }; });

    CLI::App* read = vessel->add_subcommand("check", "Read a vessel file and complain by line");
    const auto file = std::make_shared<std::string>();
    read->add_option("file", *file, "The file to check")->type_name("")->required();
    read->callback([file, &action] { action = [file] { return check(*file); }; });
}

} // namespace quaycell
