// quaycell calibrate: compare a logger with a better instrument.
#include "archive/archive.h"
#include "calibration/second_temperature.h"
#include "cli/calibration_sheet.h"
#include "cli/command.h"
#include "cli/interrupt.h"
#include "cli/logger_port.h"
#include "collect/same_logger.h"
#include "judging/author.h"
#include "judging/device_name.h"
#include "judging/files.h"
#include "judging/json_text.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>
#include <optional>

namespace quaycell {

namespace {

/// 0.05 % and 3 digits of a 4.5-digit multimeter at 1.8 V: its limit stands for k = 2.
constexpr double usual_instrument_mv = 1.2;

struct Options {
    std::string port;
    std::string archive;
    std::string instrument;
    std::optional<double> instrument_mv;
    std::vector<int> left_out;
    bool cell_b = false;
    bool second_temperature = false;
    bool show = false;
    bool as_json = false;
};

Result<Instrument> instrument_from(const Options& options) {
    if (options.instrument.empty())
        return Error{ErrorCode::wrong_usage, "nobody could say what the logger was compared with",
                     "--instrument", "Name the multimeter, for instance \"DMM 5.5 digits no. 12\""};
    if (options.instrument.size() > longest_instrument_name)
        return Error{ErrorCode::wrong_usage,
                     fmt::format("\"{}\" is longer than the {} bytes that the logger keeps",
                                 options.instrument, longest_instrument_name),
                     "--instrument", "Shorten it"};
    const double mv = options.instrument_mv.value_or(usual_instrument_mv);
    if (!(mv >= 0 && mv <= least_known_instrument_mv))
        return Error{ErrorCode::wrong_usage,
                     fmt::format("{} mV is no uncertainty of a voltmeter", mv),
                     "--instrument-uncertainty",
                     "Give its limit of error at 1.8 V in mV, for instance 0.65"};
    if (!options.instrument_mv)
        std::cerr << fmt::format("assumed: the instrument is right within {} mV, as 0.05 % and 3 "
                                 "digits of a 4.5-digit multimeter are at 1.8 V\n",
                                 usual_instrument_mv);
    return Instrument{options.instrument, mv};
}

/// A logger that is ready to be compared, with what is known of it.
struct Subject {
    Logger logger;
    wire::Circuit circuit;
    std::optional<wire::Calibration> held;
};

Result<Subject> connect(const Options& options) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto circuit = logger->circuit();
    if (!circuit) return circuit.error();
    const auto held = logger->calibration();
    if (!held) return held.error();
    return Subject{std::move(*logger), *circuit, *held};
}

Result<Done> check_ready(Logger& logger) {
    const auto status = logger.status();
    if (!status) return status.error();
    if (status->state == static_cast<std::uint8_t>(wire::LoggerState::armed))
        return Error{ErrorCode::refused, "the logger is recording", logger.name(),
                     "Bring its readings into an archive and stop it first: quaycell erase "
                     "--archive FILE."};
    if ((status->faults & (wire::fault_converter | wire::fault_clock)) != 0)
        return Error{
            ErrorCode::refused,
            "the converter or the clock chip, which tells the temperature, does not answer",
            logger.name(), "The logger needs repair before it can be calibrated."};
    return Done{};
}

/// What a walk has made.
struct Made {
    Walked walked;
    wire::Calibration calibration;
};

Result<Made> compare_whole(Subject& subject, const Options& options, const Instrument& instrument,
                           Answers& answers) {
    std::cerr
        << "Let logger, source and multimeter stand in the same room, switched on, for ten "
           "minutes.\nThe multimeter stays across the source, its red lead on the side of the "
           "hull's clip, its black lead\non that of the cell's jack. Battery cells are source "
           "enough. The AC of step 8 comes from an isolated\nlow-voltage transformer, never "
           "from the mains itself.\n";
    Comparison comparison(subject.circuit);
    auto walked = compare(subject.logger, {options.cell_b, options.left_out}, answers, comparison);
    if (!walked) return walked.error();
    const auto now_s = std::chrono::floor<std::chrono::seconds>(written_now()).time_since_epoch();
    return Made{std::move(*walked),
                comparison.calibration(instrument, static_cast<std::uint32_t>(now_s.count()))};
}

Result<Made> compare_again(Subject& subject, const Options& options, Answers& answers) {
    if (!subject.held)
        return Error{ErrorCode::refused, "the logger holds no calibration to add to",
                     subject.logger.name(),
                     "Compare it at one temperature first, without --second-temperature."};
    SecondTemperature second(subject.circuit, *subject.held);
    auto walked = compare_at_second_temperature(subject.logger, options.cell_b, answers, second);
    if (!walked) return walked.error();
    return Made{std::move(*walked), second.calibration()};
}

void tell(const Subject& subject, const wire::Calibration& calibration, const Walked* walked,
          bool as_json) {
    const std::string device = device_name(subject.logger.hello().device_id);
    if (as_json) {
        boost::json::object document{{"device", device},
                                     {"calibration", calibration_json(calibration, written_now())}};
        if (walked != nullptr) add_walked(document, *walked);
        std::cout << to_document(document);
        return;
    }
    std::cout << "logger " << device << '\n' << calibration_text(calibration, written_now());
    if (walked != nullptr) std::cout << walked_text(*walked);
}

Outcome keep(Archive& archive, const Subject& subject, const wire::Calibration& calibration) {
    const std::uint32_t device = subject.logger.hello().device_id;
    const Instant now = written_now();
    if (auto put = archive.put_logger(subject.logger.hello(), subject.circuit, now); !put)
        return put;
    return archive.put_calibration(device, calibration, now);
}

/// Before anybody spends an hour: whether the archive can be written to and knows this logger.
Result<std::optional<Archive>> archive_for(const Options& options, const Subject& subject) {
    if (options.archive.empty()) return std::optional<Archive>{};
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    if (subject.held) {
        const auto same = check_same_calibration(*archive, subject.logger.hello().device_id,
                                                 *subject.held, subject.logger.name());
        if (!same) return same.error();
    }
    return std::optional{std::move(*archive)};
}

Outcome show(const Options& options) {
    auto subject = connect(options);
    if (!subject) return subject.error();
    if (!subject->held)
        return Error{ErrorCode::not_found, "the logger holds no calibration",
                     subject->logger.name(),
                     "Compare it with a multimeter: quaycell calibrate --instrument NAME."};
    tell(*subject, *subject->held, nullptr, options.as_json);
    return Done{};
}

Outcome run(const Options& options) {
    if (options.show) return show(options);
    std::optional<Instrument> instrument;
    if (!options.second_temperature) {
        const auto named = instrument_from(options);
        if (!named) return named.error();
        instrument = *named;
    }
    auto subject = connect(options);
    if (!subject) return subject.error();
    if (const auto ready = check_ready(subject->logger); !ready) return ready;
    auto archive = archive_for(options, *subject);
    if (!archive) return archive.error();
    note_interrupts();
    Answers answers;
    const auto made = instrument ? compare_whole(*subject, options, *instrument, answers)
                                 : compare_again(*subject, options, answers);
    if (!made) return made.error();
    const auto held = subject->logger.set_calibration(made->calibration);
    if (!held) return held.error();
    tell(*subject, *held, &made->walked, options.as_json);
    std::cerr << "written to the logger, and read back the same\n";
    if (!*archive) return Done{};
    return keep(**archive, *subject, *held);
}

} // namespace

void add_calibrate(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("calibrate", "Compare a logger with a better instrument");
    add_port_option(*command, options->port);
    CLI::Option* instrument =
        command
            ->add_option(
                "--instrument", options->instrument,
                "What it is compared with: make, digits, number; kept with the calibration")
            ->type_name("TEXT");
    command
        ->add_option(
            "--instrument-uncertainty", options->instrument_mv,
            "Its limit of error at 1.8 V, mV; taken as k = 2. 0.65 for 0.025 % + 2 digits, "
            "0.27 for 0.012 % + 5 digits of 5.5; 1.2 where nobody says")
        ->type_name("MV");
    command->add_flag("--cell-b", options->cell_b, "Compare cell B after cell A");
    CLI::Option* skip = command
                            ->add_option("--skip", options->left_out,
                                         "Steps for which the parts are not at hand: 5 (100 kohm), "
                                         "6 (10 Mohm), 7 (stimulus), 8 (AC)")
                            ->type_name("N")
                            ->delimiter(',')
                            ->check(CLI::Range(first_skippable_step, last_skippable_step));
    command
        ->add_flag("--second-temperature", options->second_temperature,
                   "Step 9: add the drift to the calibration that the logger holds, with the same "
                   "multimeter")
        ->excludes(instrument)
        ->excludes(skip);
    command->add_option("--archive", options->archive, "Keep the calibration here, too")
        ->type_name("FILE");
    command->add_flag("--show", options->show, "Only tell what the logger holds");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "Needs a rested 1.5 V battery cell (two in series for -1.8 V), a 10 kohm ten-turn "
        "potentiometer, a\nreversing switch and a multimeter of 0.025 % or better; with 10 kohm, "
        "100 kohm and 10 Mohm, and an\nisolated low-voltage source of 1 V rms, steps 5 to 8, too. "
        "Each step says what to join, asks what the\nmultimeter shows and measures for 20 s. What "
        "is refused is measured again; with q, or when the answers\nend, the logger keeps what it "
        "had. The answers may come from a file, one a line.\n\n"
        "Examples:\n"
        "  quaycell calibrate --port /dev/ttyUSB0 --instrument \"DMM 5.5 no. 12\" "
        "--instrument-uncertainty 0.27\n"
        "  quaycell calibrate --port /dev/ttyUSB0 --instrument \"DMM 4.5\" --cell-b --skip 6,8 "
        "--archive tern.quaycell\n"
        "  quaycell calibrate --port /dev/ttyUSB0 --second-temperature   # from the refrigerator\n"
        "  quaycell calibrate --port /dev/ttyUSB0 --show");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
