// quaycell survey: a walk from fitting to fitting, with the logger or with a multimeter.
#include "archive/archive.h"
#include "cli/command.h"
#include "cli/fitted.h"
#include "cli/interrupt.h"
#include "cli/logger_port.h"
#include "cli/survey_talk.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "judging/judged_survey.h"
#include "judging/options.h"
#include "judging/survey_start.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::string port;
    std::string shore;
    SurveyStart start;
    std::int64_t number = 0;
    bool resume = false;
    bool show = false;
    bool as_json = false;
};

/// What no multimeter goes beyond.
constexpr double least_mohm = 0.001, most_mohm = 1e6;
/// The logger on the port, with what its codes mean.
struct Connected {
    Logger logger;
    LoggerFacts facts;
};

Result<Connected> connect(const Options& options, Archive& archive) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto circuit = logger->circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger->calibration();
    if (!calibration) return calibration.error();
    if (!*calibration)
        return Error{ErrorCode::refused, "the logger holds no calibration", logger->name(),
                     "Compare it with a multimeter first (quaycell calibrate), or survey with the "
                     "multimeter: --multimeter NAME."};
    const LoggerFacts facts{logger->hello().device_id, *circuit, *calibration};
    if (auto put = keep_logger(archive, logger->hello(), facts); !put) return put.error();
    return Connected{std::move(*logger), facts};
}

/// What --shore says, where it says anything.
Result<std::optional<ShoreCord>> said_shore(const Options& options) {
    if (options.shore.empty()) {
        if (options.resume) return std::optional<ShoreCord>{};
        return Error{ErrorCode::wrong_usage, "nobody said whether shore power is plugged in",
                     "--shore", "Say plugged or unplugged; it may be changed on the way"};
    }
    const auto shore = shore_cord_named(options.shore);
    if (!shore) return shore.error();
    return std::optional{*shore};
}

/// The state that the boat was left in, or the one that is said.
SurveyState state_from(std::optional<ShoreCord> shore, const KeptSurvey& kept) {
    SurveyState state = last_state(kept.survey);
    state.shore = shore.value_or(state.shore);
    return state;
}

Outcome tell(const Options& options, KeptSurvey kept, Archive& archive) {
    const auto checks = archive.cell_checks();
    if (!checks) return checks.error();
    const auto judged = judge_survey(std::move(kept), options.start.boat, *checks);
    if (!judged) return judged.error();
    if (options.as_json)
        std::cout << to_document(survey_json(*judged));
    else
        std::cout << fitted_output(survey_text(*judged));
    for (const std::string& assumption : judged->boat.water.assumed)
        std::cerr << fitted_words("assumed: " + assumption + '\n');
    return Done{};
}

Outcome show(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    auto kept = load_survey(*archive, options.number, options.archive);
    if (!kept) return kept.error();
    return tell(options, std::move(kept).value(), *archive);
}

Outcome run(const Options& options) {
    if (options.show) return show(options);
    const SurveyStart& start = options.start;
    const auto shore = said_shore(options);
    if (!shore) return shore.error();
    if (const auto boat = boat_from(start.boat); !boat) return boat.error();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    std::optional<KeptSurvey> earlier;
    if (options.resume) {
        auto found = survey_to_resume(options.number, start, !options.port.empty(), *archive,
                                      options.archive);
        if (!found) return found.error();
        earlier = std::move(found).value();
    }
    const bool by_logger = earlier ? earlier->row.device != 0 : start.multimeter.empty();
    std::optional<Connected> connected;
    if (by_logger) {
        auto found = connect(options, *archive);
        if (!found) return found.error();
        connected = std::move(found).value();
    }
    const std::optional<LoggerFacts> facts =
        connected ? std::optional(connected->facts) : std::nullopt;
    if (earlier && facts)
        if (auto error = other_logger(*earlier, facts->device_id, options.archive)) return *error;
    const bool resumed = earlier.has_value();
    auto kept = earlier ? Result<KeptSurvey>(std::move(*earlier))
                        : begin_survey(start, facts, *archive, options.archive);
    if (!kept) return kept.error();
    // It may have been calibrated anew since the survey was begun.
    if (resumed && connected) kept->loggers.push_back(connected->facts);
    note_interrupts();
    Answers answers;
    const SurveyState state = state_from(*shore, *kept);
    SurveyWalk walk(std::move(kept).value(),
                    {*archive, start.boat, by_logger, state, author_from(start.author)});
    std::optional<SurveyLogger> reader;
    if (connected) reader.emplace(SurveyLogger{connected->logger, connected->facts});
    if (const auto talked = talk_through(walk, reader ? &*reader : nullptr, answers); !talked)
        return talked.error();
    return tell(options, walk.kept(), *archive);
}

} // namespace

void add_survey(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("survey", "From fitting to fitting, with logger or multimeter");
    command->add_option("--archive", options->archive, "Where every point is kept as it is read")
        ->type_name("FILE")
        ->required();
    command->add_option("--port", options->port, "The logger's; else the only one that answers")
        ->type_name("PORT");
    command
        ->add_option("--multimeter", options->start.multimeter,
                     "In place of a logger, readings are typed in: make, digits, number")
        ->type_name("TEXT")
        ->excludes("--port");
    command
        ->add_option("--input-resistance", options->start.input_resistance_mohm,
                     "Of the multimeter, Mohm; 10 at least. Counts in the uncertainty")
        ->type_name("MOHM")
        ->check(CLI::Range(least_mohm, most_mohm));
    command
        ->add_option("--reference-instrument", options->start.reference_instrument,
                     "That is read beside it at some points")
        ->type_name("TEXT");
    command->add_option("--shore", options->shore, "plugged or unplugged, as the walk begins")
        ->type_name("STATE");
    command
        ->add_option("--cell-travel", options->start.cell_travel,
                     "one-place: the cell stays where it hangs; moved: it goes along")
        ->type_name("WAY");
    command->add_option("--cell", options->start.cell, "Serial number of the cell")
        ->type_name("NUMBER");
    command
        ->add_option("--point", options->start.points,
                     "A bonded fitting, POINT or POINT=METAL, after those of the vessel file")
        ->type_name("POINT");
    command->add_flag("--resume", options->resume, "Go on with a survey that is not finished");
    command->add_flag("--show", options->show, "Tell what a survey has come to; reads nothing");
    add_survey_option(*command, options->number,
                      "Number of the survey to resume or show; else the newest");
    add_author_option(*command, options->start.author);
    add_boat_options(*command, options->start.boat);
    command->add_flag("--json", options->as_json, "One JSON document in the end");
    command->footer(
        "Walks the [[point]]s of the vessel file. Bonded fittings have to read as the main bonding "
        "does: within\n"
        "5 mV with the cell in one place, within 50 mV with a cell that is moved along. Each point "
        "is on the disk\n"
        "as soon as it is read. While it runs, ? lists the words: skip, back, note, photo, plug, "
        "unplug, dock ...\n"
        "They may come from a file, one a line.\n\n"
        "Nobody in the water near a dock that carries electricity. Never lift a protective earth. "
        "Computer on its\n"
        "battery. Over the AC level the survey ends: nobody in the water, and an electrician.\n\n"
        "Examples:\n"
        "  quaycell survey --archive tern.quaycell --vessel tern.toml --port /dev/ttyUSB0 --shore "
        "plugged --cell-travel one-place\n"
        "  quaycell survey --archive tern.quaycell --vessel tern.toml --multimeter \"DMM 4.5 no. "
        "12\" --input-resistance 10 --shore unplugged --cell-travel moved\n"
        "  quaycell survey --archive tern.quaycell --vessel tern.toml --resume\n"
        "  quaycell survey --archive tern.quaycell --vessel tern.toml --show --json");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
