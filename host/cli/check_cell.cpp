// quaycell check-cell: can the reference cell be trusted?
#include "archive/archive.h"
#include "cli/command.h"
#include "cli/logger_port.h"
#include "electrode/cell_check.h"
#include "electrode/potential.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/cell_checks.h"
#include "judging/cell_pair.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace json = boost::json;

namespace {

struct Options {
    std::string between_cells;
    std::string zinc;
    std::string port;
    std::string scale;
    std::string cell;
    std::string time;
    std::string author;
    std::string archive;
    WaterOptions water;
    bool as_json = false;
};

/// What was found, and what was assumed for it.
struct Compared {
    CellComparison found;
    std::vector<std::string> assumed;
};

Result<Compared> compared_with_zinc(const Options& options) {
    const auto zinc_mv = potential_from(options.zinc, "--zinc");
    if (!zinc_mv) return zinc_mv.error();
    auto water = water_from(options.water, {});
    if (!water) return water.error();
    if (options.scale.empty())
        water->assumed.push_back("cell on agcl/open, a bare element in this water");
    const auto scale = scale_named(options.scale.empty() ? "agcl/open" : options.scale);
    if (!scale) return scale.error();
    auto found = compare_with_zinc(*zinc_mv, *scale, *water);
    if (!found) return found.error();
    return Compared{std::move(found).value(), std::move(water->assumed)};
}

Result<double> between_cells_mv(const Options& options) {
    if (options.port.empty()) return parse_potential_mv(options.between_cells);
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    return voltage_between_cells_mv(*logger);
}

Result<Compared> compare(const Options& options) {
    if (!options.zinc.empty()) return compared_with_zinc(options);
    const auto apart_mv = between_cells_mv(options);
    if (!apart_mv) return apart_mv.error();
    auto found = compare_cells(*apart_mv);
    if (!found) return found.error();
    return Compared{std::move(found).value(), {}};
}

/// Writes the finding down, where an archive is named.
Outcome keep(const Options& options, const CellComparison& found) {
    if (options.archive.empty()) return Done{};
    Instant at = written_now();
    if (!options.time.empty()) {
        const auto given = parse_instant(options.time);
        if (!given) return given.error();
        at = *given;
    }
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    return archive->put_cell_check({options.cell, at, options.zinc.empty() ? "cell" : "zinc",
                                    found.difference_mv, std::string(name_of(found.finding)),
                                    author_from(options.author), written_now()});
}

Outcome list(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto checks = archive->cell_checks();
    if (!checks) return checks.error();
    if (options.as_json) {
        std::cout << to_document({{"cell_checks", cell_checks_json(*checks)}});
        return Done{};
    }
    for (const CellCheckRow& check : *checks)
        std::cout << cell_check_text(check) << '\n';
    if (checks->empty()) std::cerr << options.archive << " holds no comparison of a cell\n";
    return Done{};
}

Outcome run(const Options& options) {
    if (options.between_cells.empty() && options.zinc.empty() && options.port.empty()) {
        if (!options.archive.empty()) return list(options);
        return Error{ErrorCode::wrong_usage, "there is nothing to compare", "",
                     "Give --between-cells MV, the voltage between two cells in the same water; "
                     "--port PORT, a logger with both; or --zinc V, a clean zinc against the cell"};
    }
    const auto compared = compare(options);
    if (!compared) return compared.error();
    const CellComparison& found = compared->found;
    if (const auto kept = keep(options, found); !kept) return kept;
    if (options.as_json) {
        std::cout << to_document(
            {{"finding", name_of(found.finding)},
             {"difference_mv", rounded(found.difference_mv, 2)},
             {"why", found.why},
             {"source", found.source},
             {"assumed", json::array(compared->assumed.begin(), compared->assumed.end())}});
        return Done{};
    }
    std::cout << fmt::format("{}: {}\n({})\n", name_of(found.finding), found.why, found.source);
    for (const std::string& assumption : compared->assumed)
        std::cerr << "assumed: " << assumption << '\n';
    if (!options.archive.empty())
        std::cerr << "kept in " << options.archive
                  << "; judge takes it into account for readings "
                     "from a day before it to a day after it\n";
    return Done{};
}

} // namespace

void add_check_cell(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("check-cell", "Can the reference cell be trusted?");
    CLI::Option* between =
        command
            ->add_option("--between-cells", options->between_cells,
                         "Voltage between two cells side by side in the same water, mV")
            ->type_name("MV");
    CLI::Option* zinc = command
                            ->add_option("--zinc", options->zinc,
                                         "Potential of a clean zinc in sea water against the cell")
                            ->type_name("V")
                            ->excludes(between);
    command
        ->add_option("--port", options->port,
                     "Measure between cells A and B of the logger there, both in the same water")
        ->type_name("PORT")
        ->excludes(between)
        ->excludes(zinc);
    command->add_option("--scale", options->scale, "Scale of the cell; agcl/open where nobody says")
        ->type_name("SCALE");
    add_water_options(*command, options->water);
    command->add_option("--cell", options->cell, "Serial number of the cell")->type_name("NUMBER");
    command->add_option("--time", options->time, "When (RFC 3339); else now")->type_name("TIME");
    command->add_option("--archive", options->archive, "Keep the finding here; alone: list them")
        ->type_name("FILE");
    add_author_option(*command, options->author);
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "Soak both cells in the same shaded bucket of the water they work in until they "
        "stand still, then\nmeasure between them, or let a logger do it with its clip on any metal "
        "in that water. Compare\nbefore and after: only that shows a drift.\n\n"
        "Examples:\n"
        "  quaycell check-cell --between-cells 2.1\n"
        "  quaycell check-cell --port /dev/ttyUSB0 --cell AG-7 --archive tern.quaycell\n"
        "  quaycell check-cell --zinc -1031 --temperature 14\n"
        "  quaycell check-cell --between-cells -3 --cell AG-7 --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
