// quaycell deploy: set the clock, arm the logger, see that it records.
#include "archive/archive.h"
#include "base/time.h"
#include "cli/command.h"
#include "cli/json_text.h"
#include "cli/logger_port.h"
#include "cli/progress_line.h"
#include "collect/collect.h"

#include <boost/json.hpp>
#include <chrono>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string port;
    std::string interval = "10s";
    std::string archive;
    std::string clock;
    bool overwrite_oldest = false;
    bool discard_readings = false;
    bool as_json = false;
};

Result<std::uint16_t> interval_from(const std::string& text) {
    const auto interval = parse_duration(text);
    if (!interval) return interval.error();
    if (interval->count() < wire::shortest_interval_s ||
        interval->count() > wire::longest_interval_s)
        return Error{ErrorCode::wrong_usage, fmt::format("an interval of {} is not possible", text),
                     "--interval", "It can be 1s to 1h."};
    return static_cast<std::uint16_t>(interval->count());
}

/// The computer's time, or the one that the user gives in its place.
Result<std::uint32_t> unix_time_from(const std::string& clock) {
    using std::chrono::system_clock;
    if (clock.empty())
        return static_cast<std::uint32_t>(system_clock::to_time_t(system_clock::now()));
    const auto instant = parse_instant(clock);
    if (!instant) return instant.error();
    const auto seconds = std::chrono::floor<std::chrono::seconds>(*instant).time_since_epoch();
    // The clock chip counts from 2000 and the record in 32 bits.
    constexpr std::chrono::seconds first =
        std::chrono::sys_days{std::chrono::year{2000} / 1 / 1}.time_since_epoch();
    constexpr std::chrono::seconds last =
        std::chrono::sys_days{std::chrono::year{2100} / 1 / 1}.time_since_epoch();
    if (seconds < first || seconds >= last)
        return Error{ErrorCode::wrong_usage, "the logger's clock goes from 2000 to 2099", "--clock",
                     ""};
    return static_cast<std::uint32_t>(seconds.count());
}

/// Arming forgets what the logger holds; that is only right when an archive has it.
Outcome keep_earlier_readings(Logger& logger, const Options& options) {
    if (options.discard_readings) return Done{};
    const auto status = logger.status();
    if (!status) return status.error();
    if (status->interval_s == 0) return Done{}; // never armed: there are no readings
    if (options.archive.empty())
        return Error{ErrorCode::refused,
                     "the logger holds an earlier deployment, which arming it again forgets",
                     device_name(logger.hello().device_id),
                     "Name an archive to bring it into with --archive; or say --discard-readings"};
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    // It would go on recording while it is being collected, and arming would forget that.
    const auto stopped = logger.stop();
    if (!stopped) return stopped.error();
    ProgressLine progress("collecting the earlier deployment", "records");
    const auto report = collect(logger, *archive, [&](std::uint64_t done, std::uint64_t total) {
        progress.show(done, total);
    });
    if (!report) return report.error();
    return Done{};
}

/// The Arm record as it stands in the logger's memory is what shows that it records.
Outcome confirm_armed(Logger& logger, const wire::StatusReply& armed) {
    bool found = false;
    const auto look = [&](std::uint32_t, const RecordBytes& bytes) -> Outcome {
        found = wire::is_valid_record(bytes.data()) &&
                bytes[0] == static_cast<std::uint8_t>(wire::RecordKind::arm);
        return Done{};
    };
    const auto read = logger.read(armed.tail_sequence + 1, 1, look, {});
    if (!read) return read;
    if (found) return Done{};
    return Error{ErrorCode::failed, "the logger says it is armed, but its memory does not show it",
                 device_name(logger.hello().device_id), "Do not rely on it; try again."};
}

void print_words(const Logger& logger, const wire::StatusReply& status) {
    const std::chrono::seconds lasts = memory_lasts(status);
    std::cout << fmt::format(
        "logger {} records, one reading each {}, since {}\n", device_name(logger.hello().device_id),
        to_text(std::chrono::seconds{status.interval_s}), to_text(from_unix_s(status.unix_s)));
    std::cout << "its memory lasts for " << to_text(lasts)
              << (status.policy == static_cast<std::uint8_t>(wire::FullPolicy::stop_when_full)
                      ? ", then it stops\n"
                      : ", then the oldest readings are overwritten\n");
    for (const std::string& words : fault_words(status.faults))
        std::cout << "fault: " << words << '\n';
    std::cerr << "On return: `quaycell collect --archive FILE`, before anything else.\n"
                 "Hang the cell from the deck; nobody in the water near a dock that carries\n"
                 "electricity.\n";
}

void print_json(const Logger& logger, const wire::StatusReply& status) {
    std::cout << to_document({{"device", device_name(logger.hello().device_id)},
                              {"armed_at", to_text(from_unix_s(status.unix_s))},
                              {"interval_s", status.interval_s},
                              {"memory_lasts_s", memory_lasts(status).count()}});
}

Outcome run(const Options& options) {
    const auto interval_s = interval_from(options.interval);
    if (!interval_s) return interval_s.error();
    if (const auto good_clock = unix_time_from(options.clock); !good_clock)
        return good_clock.error();
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto kept = keep_earlier_readings(*logger, options);
    if (!kept) return kept;
    const auto unix_s =
        unix_time_from(options.clock); // only now: collecting may have taken minutes
    if (!unix_s) return unix_s.error();
    const auto set = logger->set_clock(*unix_s);
    if (!set) return set.error();
    const auto armed =
        logger->arm(*interval_s, options.overwrite_oldest ? wire::FullPolicy::overwrite_oldest
                                                          : wire::FullPolicy::stop_when_full);
    if (!armed) return armed.error();
    const auto confirmed = confirm_armed(*logger, *armed);
    if (!confirmed) return confirmed;
    (options.as_json ? print_json : print_words)(*logger, *armed);
    return Done{};
}

} // namespace

void add_deploy(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand("deploy", "Set a logger's clock and let it record");
    add_port_option(*command, options->port);
    command->add_option("--interval", options->interval, "Time between readings, 1s to 1h")
        ->type_name("TIME")
        ->capture_default_str();
    command
        ->add_option("--archive", options->archive,
                     "Archive to bring the logger's earlier readings into first")
        ->type_name("FILE");
    command
        ->add_option("--clock", options->clock, "Time to set (RFC 3339) instead of the computer's")
        ->type_name("TIME");
    command->add_flag("--overwrite-oldest", options->overwrite_oldest,
                      "When the memory is full, overwrite the oldest readings instead of stopping");
    command->add_flag("--discard-readings", options->discard_readings,
                      "Forget the earlier readings instead");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer(
        "The logger keeps one deployment; an earlier one goes into the archive first.\n\n"
        "Example:\n"
        "  quaycell deploy --port /dev/ttyUSB0 --interval 10s --archive tern.quaycell");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
