// quaycell status: what a logger is doing, or what an archive holds.
#include "archive/archive.h"
#include "base/time.h"
#include "cli/calibration_sheet.h"
#include "cli/collect_report.h"
#include "cli/command.h"
#include "cli/endurance.h"
#include "cli/logger_port.h"
#include "judging/archive_contents.h"
#include "judging/archive_trace.h"
#include "judging/author.h"
#include "judging/correction_text.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "judging/note_text.h"
#include "series/conversion.h"
#include "series/lead.h"
#include "series/record_words.h"

#include <algorithm>
#include <array>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <cmath>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

struct Options {
    std::string port;
    std::string archive;
    bool as_json = false;
};

std::string_view state_name(std::uint8_t state) {
    constexpr std::array<std::string_view, 3> names{"idle", "recording", "memory full"};
    return state < names.size() ? names[state] : "unknown";
}

/// What is told of a logger.
struct Told {
    wire::HelloReply hello;
    wire::StatusReply status;
    double battery_mv;
    LeadState lead; ///< at the last look, as the next two
    double source_ohm;
    std::string lead_words;
    std::optional<Instant> armed_at;   ///< by the Arm record
    std::optional<Instant> stopped_at; ///< by the Stop record, when it records no more
    std::string stopped_why;
    std::uint32_t worn_sectors = 0; ///< passed over in what the memory holds
    std::optional<wire::Calibration> calibration{};
};

/// The record under that number, if it is whole and of that kind.
template <typename Record>
Result<std::optional<Record>> record_at(Logger& logger, std::uint32_t sequence,
                                        wire::RecordKind kind) {
    std::optional<Record> found;
    const auto look = [&](std::uint32_t number, const RecordBytes& bytes) -> Outcome {
        if (is_good({number, bytes}) && bytes[0] == static_cast<std::uint8_t>(kind))
            found = wire::from_bytes<Record>(bytes.data());
        return Done{};
    };
    if (const auto read = logger.read(sequence, 1, look); !read) return read.error();
    return found;
}

/// How far back a Stop record is looked for: a restart or a set clock writes a record after it.
constexpr std::uint32_t slots_looked_back = 64;

/// The newest Stop record among the last slots.
Result<std::optional<wire::Stop>> newest_stop(Logger& logger, const wire::StatusReply& status) {
    const std::uint32_t count =
        std::min(slots_looked_back, status.next_sequence - status.tail_sequence);
    std::optional<wire::Stop> found;
    const auto look = [&found](std::uint32_t number, const RecordBytes& bytes) -> Outcome {
        if (is_good({number, bytes}) &&
            bytes[0] == static_cast<std::uint8_t>(wire::RecordKind::stop))
            found = wire::from_bytes<wire::Stop>(bytes.data());
        return Done{};
    };
    if (count == 0) return found;
    if (const auto read = logger.read(status.next_sequence - count, count, look); !read)
        return read.error();
    return found;
}

/// The header of the oldest sector that has one: the oldest that counts may be worn, and as many
/// behind it.
Result<std::optional<wire::SectorHeader>> oldest_header(Logger& logger,
                                                        const wire::StatusReply& status) {
    std::uint32_t first = status.tail_sequence;
    for (unsigned tries = 0; tries <= wire::most_skipped; ++tries) {
        if (!wire::sequence_before(first, status.next_sequence)) break;
        auto header = record_at<wire::SectorHeader>(logger, first, wire::RecordKind::sector_header);
        if (!header || *header) return header;
        first += wire::slots_per_sector;
    }
    return std::optional<wire::SectorHeader>{};
}

/// By the newest header, which counts them from the oldest on.
Result<std::uint32_t> worn_sectors(Logger& logger, const wire::StatusReply& status,
                                   const wire::SectorHeader& oldest) {
    const std::uint32_t last = status.next_sequence - 1;
    const auto newest = record_at<wire::SectorHeader>(logger, last - last % wire::slots_per_sector,
                                                      wire::RecordKind::sector_header);
    if (!newest) return newest.error();
    if (!*newest) return std::uint32_t{0};
    const Skip skip = skip_before(oldest);
    return skip.sectors + (skip.rest ? 1U : 0U) +
           static_cast<std::uint8_t>((*newest)->skips - oldest.skips);
}

std::optional<Instant> time_from(std::uint32_t unix_s) {
    if (unix_s == 0) return std::nullopt;
    return from_unix_s(unix_s);
}

Result<Told> ask(Logger& logger) {
    const auto status = logger.status();
    if (!status) return status.error();
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    Told told{logger.hello(),
              *status,
              battery_mv(status->battery, *circuit),
              lead_state(status->source_a, *circuit),
              source_ohm(status->source_a, *circuit),
              lead_words(status->source_a, status->source_b, *circuit),
              {},
              {},
              {}};
    auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    told.calibration = *calibration;
    const auto oldest = oldest_header(logger, *status);
    if (!oldest) return oldest.error();
    if (!*oldest) return told;
    const auto worn = worn_sectors(logger, *status, **oldest);
    if (!worn) return worn.error();
    told.worn_sectors = *worn;
    if (status->interval_s == 0) return told; // never armed
    const auto arm =
        record_at<wire::Arm>(logger, (*oldest)->head.sequence + 1, wire::RecordKind::arm);
    if (!arm) return arm.error();
    if (*arm) told.armed_at = time_from((*arm)->unix_s);
    if (status->state == static_cast<std::uint8_t>(wire::LoggerState::armed)) return told;
    const auto stop = newest_stop(logger, *status);
    if (!stop) return stop.error();
    if (*stop) {
        told.stopped_at = time_from((*stop)->unix_s);
        told.stopped_why = stop_words(**stop);
    }
    return told;
}

/// The faults, and whether the memory is one that the firmware knows.
std::vector<std::string> all_faults(const Told& told) {
    std::vector<std::string> all = fault_words(told.status.faults);
    const auto& id = told.hello.jedec_id;
    const bool answers = id[0] != 0x00 && id[0] != 0xFF; // a bus on which nobody answers
    if (told.hello.sector_count == 0 && answers)
        all.push_back(fmt::format("the memory has the id {:02X} {:02X} {:02X}, which is none of 2 "
                                  "to 16 MB: put in one of those",
                                  id[0], id[1], id[2]));
    return all;
}

/// What is wrong with the clock chip, by the time flags; empty for nothing.
std::string clock_why(const wire::StatusReply& status) {
    if ((status.time_flags & wire::clock_jumped) != 0)
        return "it jumped of itself and is not trusted until it is set (deploying sets it); have "
               "the clock chip's battery looked at";
    return clock_trouble_words(status.time_flags);
}

std::string clock_line(const wire::StatusReply& status) {
    const std::string why = clock_why(status);
    return (status.unix_s == 0 ? "not known" : to_text(from_unix_s(status.unix_s))) +
           (why.empty() ? "" : ": " + why);
}

json::value time_json(const std::optional<Instant>& time) {
    return time ? json::value(to_text(*time)) : json::value(nullptr);
}

/// Of the whole memory, 0 to 1.
double share_used(const Told& told) {
    const double all = static_cast<double>(told.hello.sector_count) * wire::slots_per_sector;
    return all == 0 ? 1 : (told.status.next_sequence - told.status.tail_sequence) / all;
}

void print_json(const Told& told) {
    const wire::StatusReply& status = told.status;
    json::array faults;
    for (const std::string& words : all_faults(told))
        faults.emplace_back(words);
    std::cout << to_document(
        {{"device", device_name(told.hello.device_id)},
         {"firmware", fmt::format("{}.{}", told.hello.firmware_version >> 8,
                                  told.hello.firmware_version & 0xFF)},
         {"firmware_build", fmt::format("{:08x}", told.hello.firmware_build)},
         {"state", state_name(status.state)},
         {"armed_at", time_json(told.armed_at)},
         {"stopped_at", time_json(told.stopped_at)},
         {"stopped_why", told.stopped_why},
         {"interval_s", status.interval_s},
         {"clock", time_json(time_from(status.unix_s))},
         {"clock_why", clock_why(status)},
         {"up_s", status.ticks_s},
         {"records_held", status.next_sequence - status.tail_sequence},
         {"records_free", status.free_slots},
         {"memory_used", rounded(share_used(told), 3)},
         {"worn_sectors", told.worn_sectors},
         {"memory_lasts_s", memory_lasts(status).count()},
         {"battery_mv", rounded(told.battery_mv, 0)},
         {"battery_share_estimated", std::isnan(told.battery_mv)
                                         ? json::value(nullptr)
                                         : rounded(battery_share(told.battery_mv), 2)},
         {"lead", name_of(told.lead)},
         {"lead_why", told.lead_words},
         {"source_ohm", rounded(told.source_ohm, 0)},
         {"calibration", told.calibration
                             ? json::value(calibration_json(*told.calibration, written_now()))
                             : json::value(nullptr)},
         {"faults", faults}});
}

std::string state_words(const Told& told) {
    const wire::StatusReply& status = told.status;
    std::string words(state_name(status.state));
    const auto since = [](const std::optional<Instant>& time) {
        return time ? ", since " + to_text(*time) : std::string(", since when is no longer known");
    };
    switch (static_cast<wire::LoggerState>(status.state)) {
    case wire::LoggerState::armed:
        return words + ", one reading each " + to_text(std::chrono::seconds{status.interval_s}) +
               since(told.armed_at);
    case wire::LoggerState::full:
        return words + since(told.stopped_at) +
               ": nothing is recorded any more. Collect it, then deploy it again";
    case wire::LoggerState::idle:
        return words + (status.interval_s == 0 ? ", never armed" : since(told.stopped_at)) +
               (told.stopped_why.empty() ? "" : ", " + told.stopped_why);
    }
    return words;
}

void print_words(const Told& told) {
    const wire::StatusReply& status = told.status;
    std::cout << fmt::format("logger {}, firmware {}.{} ({:08x})\n",
                             device_name(told.hello.device_id), told.hello.firmware_version >> 8,
                             told.hello.firmware_version & 0xFF, told.hello.firmware_build);
    std::cout << "state: " << state_words(told);
    std::cout << fmt::format("\nmemory: {:.0f} % full, {} records held, room for {} more",
                             std::floor(100 * share_used(told)),
                             status.next_sequence - status.tail_sequence, status.free_slots);
    if (status.interval_s != 0)
        std::cout << fmt::format(" ({} at this interval)", to_text(memory_lasts(status)));
    std::cout << '\n' << worn_words(told.worn_sectors);
    std::cout << "clock: " << clock_line(status)
              << "\nrunning since: " << to_text(std::chrono::seconds{status.ticks_s})
              << "\nbattery: "
              << (std::isnan(told.battery_mv)
                      ? "not measured"
                      : fmt::format(
                            "{:.2f} V, about {:.0f} % charged (estimated for three alkaline "
                            "cells)",
                            told.battery_mv / 1000, 100 * battery_share(told.battery_mv)))
              << '\n';
    std::cout << "cell and leads: " << name_of(told.lead);
    if (!std::isnan(told.source_ohm))
        std::cout << fmt::format(", {:.0f} kohm", told.source_ohm / 1000);
    if (!told.lead_words.empty()) std::cout << ": " << told.lead_words;
    std::cout << '\n';
    if (told.calibration)
        std::cout << "calibrated: " << calibration_line(*told.calibration, written_now()) << '\n';
    for (const std::string& words : all_faults(told))
        std::cout << "fault: " << words << '\n';
}

/// What collections that broke off have left in loggers, in words.
Result<std::vector<std::string>> left_behind_of(Archive& archive) {
    std::vector<std::string> all;
    const auto devices = archive.devices();
    if (!devices) return devices.error();
    for (const DeviceSummary& device : *devices) {
        auto words = left_behind_words(archive, device.device);
        if (!words) return words.error();
        if (!words->empty()) all.push_back(std::move(*words));
    }
    return all;
}

Outcome tell_archive(const Options& options) {
    auto read = read_archive(options.archive);
    if (!read) return read.error();
    auto* const archive = &read->archive;
    const std::vector<ArchiveEntry>* const entries = &read->entries;
    const auto notes = archive->notes();
    if (!notes) return notes.error();
    auto corrections = known_corrections(*archive, *entries);
    if (!corrections) return corrections.error();
    if (const auto told = tell_by_present_clock(*archive, *entries, *corrections); !told)
        return told;
    const auto left = left_behind_of(*archive);
    if (!left) return left.error();
    if (options.as_json) {
        json::array list;
        for (const ArchiveEntry& entry : *entries)
            list.push_back({{"deployment", entry.number},
                            {"origin", entry.origin},
                            {"from", time_json(entry.from)},
                            {"readings", entry.readings}});
        std::cout << to_document(
            {{"deployments", list},
             {"notes", notes_json(*notes)},
             {"corrections", corrections_json(*corrections)},
             {"left_in_loggers", json::array(left->begin(), left->end())},
             {"lost", json::array(archive->losses().begin(), archive->losses().end())}});
        return Done{};
    }
    for (const ArchiveEntry& entry : *entries)
        std::cout << fmt::format("{}  {}  from {}  {} readings\n", entry.number, entry.origin,
                                 start_text(entry), entry.readings);
    for (const Note& note : *notes)
        std::cout << "note: " << note_text(note) << '\n';
    for (const KnownCorrection& correction : *corrections)
        std::cout << correction_text(correction) << '\n';
    for (const std::string& words : *left)
        std::cout << words << '\n';
    if (entries->empty()) std::cerr << options.archive << " holds no readings yet\n";
    return Done{};
}

Outcome tell_logger(const Options& options) {
    auto logger = connect_logger(options.port);
    if (!logger) return logger.error();
    const auto told = ask(*logger);
    if (!told) return told.error();
    (options.as_json ? print_json : print_words)(*told);
    return Done{};
}

} // namespace

void add_status(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("status", "What a logger is doing, or what an archive holds");
    add_port_option(*command, options->port);
    command->add_option("--archive", options->archive, "Tell what this archive holds instead")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Examples:\n"
                    "  quaycell status --port /dev/ttyUSB0\n"
                    "  quaycell status --archive tern.quaycell");
    command->callback([options, &action] {
        action = [options] {
            return options->archive.empty() ? tell_logger(*options) : tell_archive(*options);
        };
    });
}

} // namespace quaycell
