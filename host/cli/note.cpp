// quaycell note: words to a time in an archive.
#include "cli/command.h"
#include "cli/logger_port.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/device_name.h"
#include "judging/json_text.h"
#include "judging/note_text.h"
#include "judging/typed_text.h"

#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::string words;
    std::string time;
    std::string author;
    std::string logger;
    bool as_json = false;
};

/// The logger that the note is about: the one named, the only one there is, or none.
Result<std::uint32_t> device_from(Archive& archive, const Options& options) {
    const auto devices = archive.devices();
    if (!devices) return devices.error();
    std::string known;
    for (const DeviceSummary& device : *devices) {
        const std::string name = device_name(device.device);
        if (name == options.logger) return device.device;
        known += (known.empty() ? "" : ", ") + name;
    }
    if (options.logger.empty() && devices->size() <= 1)
        return devices->empty() ? 0 : devices->front().device;
    return Error{ErrorCode::wrong_usage,
                 options.logger.empty() ? "the archive holds more than one logger"
                                        : "the archive knows no logger " + options.logger,
                 "--logger",
                 known.empty() ? "It holds none; leave --logger out." : "It holds: " + known + "."};
}

Outcome write(const Options& options) {
    Instant at = written_now();
    if (!options.time.empty()) {
        const auto given = parse_instant(options.time);
        if (!given) return given.error();
        at = *given;
    }
    // A note belongs to what is there: no archive is begun for it.
    if (const auto there = Archive::open(options.archive, OpenMode::read); !there)
        return there.error();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    const auto device = device_from(*archive, options);
    if (!device) return device.error();
    const std::string author = author_from(options.author);
    for (const auto& [typed, option] : {std::pair(options.words, ""), {author, "--author"}})
        if (auto error = not_a_line(typed, option)) return *error;
    const Note note{*device, at, options.words, author, written_now()};
    if (const auto put = archive->put_note(note); !put) return put;
    std::cerr << options.archive << ": " << note_text(note) << '\n';
    return Done{};
}

Outcome list(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto notes = archive->notes();
    if (!notes) return notes.error();
    if (options.as_json) {
        std::cout << to_document({{"notes", notes_json(*notes)}});
        return Done{};
    }
    for (const Note& note : *notes)
        std::cout << note_text(note) << '\n';
    if (notes->empty()) std::cerr << options.archive << " holds no notes\n";
    return Done{};
}

} // namespace

void add_note(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        program.add_subcommand("note", "Add words to a time in an archive, or list them");
    command->add_option("words", options->words, "What to note; without it the notes are listed")
        ->type_name("");
    command->add_option("--archive", options->archive, "Archive file")
        ->type_name("FILE")
        ->required();
    command->add_option("--time", options->time, "What time it is about (RFC 3339); else now")
        ->type_name("TIME");
    add_author_option(*command, options->author);
    command
        ->add_option("--logger", options->logger,
                     "Number of the logger that it is about, where the archive holds several")
        ->type_name("NUMBER");
    command->add_flag("--json", options->as_json, "The list as one JSON document");
    command->footer(
        "A note is never changed or removed. What was wrong about readings is put right by\n"
        "`quaycell correct`.\n\n"
        "Example:\n"
        "  quaycell note --archive tern.quaycell --time 2026-05-04T09:30:00Z \"shore "
        "power unplugged\"");
    command->callback([options, &action] {
        action = [options] { return options->words.empty() ? list(*options) : write(*options); };
    });
}

} // namespace quaycell
