// quaycell survey: a walk from fitting to fitting, with the logger or with a multimeter.
#include "archive/archive.h"
#include "cli/author.h"
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/logger_port.h"
#include "cli/survey_answer.h"
#include "cli/survey_walk.h"
#include "judging/archive_contents.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "judging/judged_survey.h"
#include "survey/settled.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::string port;
    std::string multimeter;
    double input_resistance_mohm = 0;
    std::string reference_instrument;
    std::string shore;
    std::string cell_travel;
    std::string cell;
    std::vector<std::string> points;
    std::int64_t number = 0;
    std::string author;
    BoatOptions boat;
    bool resume = false;
    bool show = false;
    bool as_json = false;
};

constexpr const char* hull_point = "main bonding";

/// Those of the vessel file, then those of the command line; the bonding itself first where none of
/// them is it.
Result<std::vector<SurveyPoint>> points_from(const Options& options,
                                             const std::optional<Vessel>& vessel) {
    std::vector<SurveyPoint> points;
    if (vessel) {
        for (const PointFacts& facts : vessel->points) {
            SurveyPoint point{facts.name, PointRole::hull, "", facts.place};
            if (!facts.metal.empty()) {
                point.role = facts.bonded ? PointRole::bonded : PointRole::unbonded;
                point.metal =
                    std::ranges::find(vessel->metals, facts.metal, &MetalFacts::name)->kind;
            }
            points.push_back(std::move(point));
        }
    }
    for (const std::string& typed : options.points) {
        auto point = typed_point(typed);
        if (!point) return point.error();
        points.push_back(std::move(point).value());
    }
    if (std::ranges::find(points, PointRole::hull, &SurveyPoint::role) == points.end())
        points.insert(points.begin(), {hull_point, PointRole::hull, "", {}});
    for (auto point = points.begin(); point != points.end(); ++point)
        if (std::ranges::find(points.begin(), point, point->name, &SurveyPoint::name) != point)
            return Error{ErrorCode::wrong_usage,
                         fmt::format("two points have the name \"{}\"", point->name), "",
                         "Give each a name of its own"};
    return points;
}

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
    const std::uint32_t device = logger->hello().device_id;
    const Instant now = written_now();
    if (auto put = archive.put_logger(logger->hello(), *circuit, now); !put) return put.error();
    if (auto put = archive.put_calibration(device, **calibration, now); !put) return put.error();
    return Connected{std::move(*logger), {device, *circuit, *calibration}};
}

Error not_said(const char* option, const char* what, const char* remedy) {
    return {ErrorCode::wrong_usage, what, option, remedy};
}

/// Keeps the head of a new survey.
Result<KeptSurvey> begin(const Options& options, const std::optional<Connected>& connected,
                         Archive& archive) {
    if (options.cell_travel.empty())
        return not_said("--cell-travel", "nobody said whether the cell stays where it hangs",
                        "Say one-place or moved: readings at bonded metals then have to agree "
                        "within 5 mV or within 50 mV");
    const auto travel = cell_travel_named(options.cell_travel);
    if (!travel) return travel.error();
    const auto boat = boat_from(options.boat);
    if (!boat) return boat.error();
    std::optional<Vessel> vessel;
    if (options.boat.vessel_file.is_given()) {
        auto loaded = load_vessel(options.boat.vessel_file, boat->criteria);
        if (!loaded) return loaded.error();
        vessel = std::move(loaded).value();
    }
    const auto points = points_from(options, vessel);
    if (!points) return points.error();
    SurveyRow row;
    row.begun_at = written_now();
    row.boat = boat->name;
    row.author = author_from(options.author);
    row.device = connected ? connected->facts.device_id : 0;
    row.instrument =
        connected ? "logger " + device_name(connected->facts.device_id) : options.multimeter;
    row.input_resistance_mohm = options.input_resistance_mohm;
    row.reference_instrument = options.reference_instrument;
    row.cell_scale = name_of(boat->cell_scale);
    row.cell_serial = options.cell.empty() ? boat->cell_serial : options.cell;
    row.cell_travel = name_of(*travel);
    row.criterion =
        connected ? settled_criterion() : "the multimeter stands still, as whoever reads it says";
    std::vector<SurveyPointRow> rows;
    for (const SurveyPoint& point : *points)
        rows.push_back(row_of(point));
    const auto number = archive.put_survey(row, rows);
    if (!number) return number.error();
    row.number = *number;
    std::optional<LoggerFacts> facts;
    if (connected) facts = connected->facts;
    return survey_from(row, rows, {}, facts, options.archive);
}

/// What is said again at a resume has to be what the survey was begun with.
std::optional<Error> contradiction(const Options& options, const KeptSurvey& kept) {
    struct Said {
        bool is_said;
        std::string now;
        std::string then;
        const char* what;
    };
    const SurveyRow& row = kept.row;
    const auto boat = boat_from(options.boat);
    if (!boat) return boat.error();
    const auto number = [](double value) { return fmt::format("{:g}", value); };
    const auto named = [](const std::string& name) {
        return name.empty() ? std::string("a boat without a name") : name;
    };
    const bool by_logger = !options.port.empty() && row.device == 0;
    const Said all[] = {
        {options.boat.vessel_file.is_given(), named(boat->name), named(row.boat), "is of"},
        {!options.multimeter.empty(), options.multimeter, row.instrument, "was read with"},
        {by_logger, "a logger", row.instrument, "was read with"},
        {options.input_resistance_mohm > 0, number(options.input_resistance_mohm),
         number(row.input_resistance_mohm), "was read with an input resistance in Mohm of"},
        {!options.cell.empty(), options.cell, row.cell_serial, "was read with cell"},
        {!options.cell_travel.empty(), options.cell_travel, row.cell_travel,
         "was read with the cell"},
        {!options.reference_instrument.empty(), options.reference_instrument,
         row.reference_instrument, "has as its reference instrument"}};
    for (const Said& each : all)
        if (each.is_said && each.now != each.then)
            return Error{ErrorCode::refused,
                         fmt::format("survey {} {} {}, not {}", row.number, each.what,
                                     each.then.empty() ? "nothing" : each.then, each.now),
                         options.archive,
                         "Go on as it was begun, or begin another survey, without --resume."};
    return std::nullopt;
}

Result<KeptSurvey> to_resume(const Options& options, Archive& archive) {
    auto kept = load_survey(archive, options.number, options.archive);
    if (!kept) return kept;
    if (is_finished(kept->survey))
        return Error{ErrorCode::refused, fmt::format("survey {} is finished", kept->row.number),
                     options.archive, "Begin another one, without --resume."};
    if (auto error = contradiction(options, *kept)) return *error;
    return kept;
}

/// What --shore says, where it says anything.
Result<std::optional<ShoreCord>> said_shore(const Options& options) {
    if (options.shore.empty()) {
        if (options.resume) return std::optional<ShoreCord>{};
        return not_said("--shore", "nobody said whether shore power is plugged in",
                        "Say plugged or unplugged; it may be changed on the way");
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
    const auto judged = judge_survey(std::move(kept), options.boat, *checks);
    if (!judged) return judged.error();
    if (options.as_json)
        std::cout << to_document(survey_json(*judged));
    else
        std::cout << survey_text(*judged);
    for (const std::string& assumption : judged->boat.water.assumed)
        std::cerr << "assumed: " << assumption << '\n';
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
    const auto shore = said_shore(options);
    if (!shore) return shore.error();
    if (const auto boat = boat_from(options.boat); !boat) return boat.error();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    std::optional<KeptSurvey> earlier;
    if (options.resume) {
        auto found = to_resume(options, *archive);
        if (!found) return found.error();
        earlier = std::move(found).value();
    }
    const bool by_logger = earlier ? earlier->row.device != 0 : options.multimeter.empty();
    std::optional<Connected> connected;
    if (by_logger) {
        auto found = connect(options, *archive);
        if (!found) return found.error();
        connected = std::move(found).value();
    }
    if (earlier && connected && connected->facts.device_id != earlier->row.device)
        return Error{ErrorCode::refused,
                     fmt::format("survey {} was read with {}, not logger {}", earlier->row.number,
                                 earlier->row.instrument, device_name(connected->facts.device_id)),
                     options.archive, "Go on with the same logger, or begin another survey."};
    auto kept =
        earlier ? Result<KeptSurvey>(std::move(*earlier)) : begin(options, connected, *archive);
    if (!kept) return kept.error();
    note_interrupts();
    Answers answers;
    const WalkedSurvey around{*archive, options.boat, connected ? &connected->logger : nullptr,
                              state_from(*shore, *kept), author_from(options.author)};
    if (const auto walked = walk(*kept, around, answers); !walked) return walked.error();
    return tell(options, std::move(kept).value(), *archive);
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
        ->add_option("--multimeter", options->multimeter,
                     "In place of a logger, readings are typed in: make, digits, number")
        ->type_name("TEXT")
        ->excludes("--port");
    command
        ->add_option("--input-resistance", options->input_resistance_mohm,
                     "Of the multimeter, Mohm; 10 at least")
        ->type_name("MOHM")
        ->check(CLI::PositiveNumber);
    command
        ->add_option("--reference-instrument", options->reference_instrument,
                     "That is read beside it at some points")
        ->type_name("TEXT");
    command->add_option("--shore", options->shore, "plugged or unplugged, as the walk begins")
        ->type_name("STATE");
    command
        ->add_option("--cell-travel", options->cell_travel,
                     "one-place: the cell stays where it hangs; moved: it goes along")
        ->type_name("WAY");
    command->add_option("--cell", options->cell, "Serial number of the cell")->type_name("NUMBER");
    command
        ->add_option("--point", options->points,
                     "A bonded fitting, POINT or POINT=METAL, after those of the vessel file")
        ->type_name("POINT");
    command->add_flag("--resume", options->resume, "Go on with a survey that is not finished");
    command->add_flag("--show", options->show, "Tell what a survey has come to; reads nothing");
    command
        ->add_option("--survey", options->number,
                     "Number of the survey to resume or show; else the newest")
        ->type_name("N")
        ->check(CLI::PositiveNumber);
    add_author_option(*command, options->author);
    add_boat_options(*command, options->boat);
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
