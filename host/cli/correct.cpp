// quaycell correct: what was wrong about readings in an archive, laid over them.
#include "base/known_time.h"
#include "cli/command.h"
#include "judging/archive_trace.h"
#include "judging/author.h"
#include "judging/correction_text.h"
#include "judging/json_text.h"
#include "judging/options.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::uint32_t deployment = 0; ///< 0: the only one there is
    std::string from;
    std::string to;
    std::string move_times;
    std::string cell_scale;
    std::optional<double> salinity_psu;
    std::optional<double> temperature_c;
    bool swapped_leads = false;
    bool leave_out = false;
    std::optional<std::int64_t> withdraw;
    std::string why;
    std::string author;
    bool as_json = false;
};

int count_of_changes(const Options& options) {
    return !options.move_times.empty() + !options.cell_scale.empty() +
           options.salinity_psu.has_value() + options.temperature_c.has_value() +
           options.swapped_leads + options.leave_out + options.withdraw.has_value();
}

bool only_asks(const Options& options) {
    return count_of_changes(options) == 0 && options.why.empty() && options.from.empty() &&
           options.to.empty();
}

Result<Milliseconds> signed_duration(std::string_view text) {
    const bool back = text.starts_with('-');
    if (back || text.starts_with('+')) text.remove_prefix(1);
    const auto length = parse_duration(text);
    if (!length) return length.error();
    return Milliseconds{back ? -*length : *length};
}

/// The one change that the command line names; a withdrawal is none.
Result<Change> change_from(const Options& options) {
    if (options.swapped_leads) return Change(SwappedLeads{});
    if (options.leave_out) return Change(LeftOut{});
    if (options.salinity_psu) return Change(WaterOf{*options.salinity_psu});
    if (options.temperature_c) return Change(WaterAt{*options.temperature_c});
    if (!options.cell_scale.empty()) {
        const auto scale = scale_named(options.cell_scale);
        if (!scale) return scale.error();
        return Change(CellOn{*scale});
    }
    const auto by = signed_duration(options.move_times);
    if (!by) return by.error();
    return Change(MovedTimes{*by});
}

Result<Done> check_usage(const Options& options) {
    for (const auto& [name, value] : {std::pair{"--salinity", options.salinity_psu},
                                      std::pair{"--temperature", options.temperature_c}}) {
        if (auto error = not_finite(name, value)) return *error;
    }
    if (count_of_changes(options) != 1)
        return Error{ErrorCode::wrong_usage, "one thing has to be corrected at a time", "",
                     "Give one of --move-times, --cell-scale, --salinity, --temperature, "
                     "--swapped-leads, --leave-out and --withdraw."};
    if (options.why.find_first_not_of(" \t\r\n") == std::string::npos)
        return Error{ErrorCode::wrong_usage, "nobody says why", "--why",
                     "A correction without its reason cannot be judged by others: give it in a few "
                     "words."};
    const bool of_a_stretch = !options.from.empty() || !options.to.empty();
    if (of_a_stretch && options.withdraw)
        return Error{ErrorCode::wrong_usage, "a correction is withdrawn as a whole", "--withdraw",
                     "Leave --from and --to out."};
    if (of_a_stretch && !options.cell_scale.empty())
        return Error{ErrorCode::wrong_usage, "a trace has one scale", "--cell-scale",
                     "Leave --from and --to out, or leave the rest out of the trace with "
                     "--leave-out."};
    return Done{};
}

/// What the archive holds and what was corrected of it.
struct Contents {
    std::vector<ArchiveEntry> entries;
    std::vector<KnownCorrection> corrections;
};

Result<Contents> contents_of(Archive& archive) {
    auto entries = entries_of(archive);
    if (!entries) return entries.error();
    auto corrections = known_corrections(archive, *entries);
    if (!corrections) return corrections.error();
    return Contents{std::move(*entries), std::move(*corrections)};
}

/// Nobody corrects what was not named, unless there is nothing else.
Result<ArchiveEntry> entry_to_correct(const Contents& contents, const Options& options) {
    if (options.deployment == 0 && contents.entries.size() > 1)
        return Error{ErrorCode::wrong_usage, "the archive holds more than one deployment",
                     options.archive,
                     "Name the one to correct with --deployment; `quaycell status --archive` lists "
                     "them."};
    return chosen_entry(contents.entries, options.deployment, options.archive);
}

/// Rows of the trace as it is shown: both are in it.
struct ShownRows {
    std::size_t first;
    std::size_t last;
};

Result<ShownRows> rows_between(const Trace& shown, const Options& options) {
    Instant from = Instant::min();
    Instant to = Instant::max();
    for (const auto& [text, instant] :
         {std::pair{&options.from, &from}, std::pair{&options.to, &to}}) {
        if (text->empty()) continue;
        const auto given = parse_instant(*text);
        if (!given) return given.error();
        *instant = *given;
    }
    if (shown.time.empty())
        return Error{ErrorCode::wrong_usage, "there is no reading to correct", shown.name, ""};
    const auto first = std::ranges::lower_bound(shown.time, from);
    const auto end = std::ranges::upper_bound(shown.time, to);
    if (first >= end)
        return Error{ErrorCode::wrong_usage,
                     from > to ? "--from is later than --to" : "no reading lies there", shown.name,
                     fmt::format("Its readings are of {} to {}, as corrected so far.",
                                 to_text(shown.time.front()), to_text(shown.time.back()))};
    return ShownRows{static_cast<std::size_t>(first - shown.time.begin()),
                     static_cast<std::size_t>(end - shown.time.begin()) - 1};
}

bool overlap(const CorrectedPart& a, const CorrectedPart& b) {
    const auto ends_before = [](const CorrectedPart& left, const CorrectedPart& right) {
        return !left.to_end && !right.from_start &&
               wire::sequence_before(left.last_sequence, right.first.first_sequence);
    };
    return !ends_before(a, b) && !ends_before(b, a);
}

/// Two statements about the same thing at the same time contradict each other.
Result<Done> check_overlap(const std::vector<KnownCorrection>& standing,
                           const KnownCorrection& added, const std::string& archive_file) {
    const auto other = std::ranges::find_if(standing, [&](const KnownCorrection& each) {
        return each.row.kind == added.row.kind && overlap(each.row.part, added.row.part);
    });
    if (other == standing.end()) return Done{};
    return Error{ErrorCode::refused,
                 fmt::format("these readings were corrected in the same way before, by {}",
                             correction_text(*other)),
                 archive_file,
                 fmt::format("Withdraw that one first, with --withdraw {}.", other->row.number)};
}

/// What is to be written. Error: why it cannot be, with the archive as it was.
Result<CorrectionRow> correction_from(Archive& archive, const Contents& contents,
                                      const Options& options) {
    const auto change = change_from(options);
    if (!change) return change.error();
    if (const auto possible = check_change(*change); !possible) return possible.error();
    const auto entry = entry_to_correct(contents, options);
    if (!entry) return entry.error();
    const auto recorded = recorded_trace(archive, *entry);
    if (!recorded) return recorded.error();
    auto standing = standing_of(contents.corrections, entry->number);
    tell_by_present_clock(standing, entry->number, *recorded);
    const auto shown = corrected(whole_trace(*recorded), to_apply(standing));
    if (!shown) return shown.error();
    const auto rows = rows_between(*shown, options);
    if (!rows) return rows.error();

    KnownCorrection added{{}, *change, entry->number, {}};
    added.row.part = {entry->key, shown->sequence[rows->last], options.from.empty(),
                      options.to.empty()};
    added.row.part.first.first_sequence = shown->sequence[rows->first];
    added.row.kind = kind_of(*change);
    added.row.value = value_of(*change);
    added.row.from = shown->time[rows->first];
    added.row.to = shown->time[rows->last];
    if (const auto alone = check_overlap(standing, added, options.archive); !alone)
        return alone.error();
    standing.push_back(added);
    const auto applied = corrected(whole_trace(*recorded), to_apply(standing));
    if (!applied) return applied.error();
    if (!std::ranges::all_of(applied->time, is_known_time))
        return Error{ErrorCode::wrong_usage,
                     "moved so, readings would lie before the year 1970 or after 9999",
                     "--move-times", "An archive holds no such times; look at the sign."};
    return std::move(added.row);
}

Result<CorrectionRow> withdrawal_from(Archive& archive, const Contents& contents,
                                      const Options& options) {
    const auto wrong = [&](std::string what) {
        return Error{ErrorCode::wrong_usage, std::move(what), "--withdraw",
                     "`quaycell correct --archive` lists what was corrected."};
    };
    const auto found =
        std::ranges::find(contents.corrections, *options.withdraw,
                          [](const KnownCorrection& each) { return each.row.number; });
    if (found == contents.corrections.end())
        return wrong(fmt::format("there is no correction {}", *options.withdraw));
    if (!found->change) return wrong("a withdrawal cannot be withdrawn; correct again instead");
    if (found->withdrawn_by)
        return wrong(fmt::format("correction {} was withdrawn before", *options.withdraw));
    const auto entry = std::ranges::find_if(contents.entries, [&](const ArchiveEntry& each) {
        return found->deployment == each.number;
    });
    if (entry != contents.entries.end()) {
        auto standing = standing_of(contents.corrections, entry->number);
        std::erase_if(standing, [&](const KnownCorrection& each) {
            return each.row.number == found->row.number;
        });
        const auto recorded = recorded_trace(archive, *entry);
        if (!recorded) return recorded.error();
        if (const auto applied = corrected(whole_trace(*recorded), to_apply(standing)); !applied)
            return applied.error();
    }
    CorrectionRow row = found->row;
    row.kind = withdrawal;
    row.value = fmt::format("{}", found->row.number);
    return row;
}

Outcome write(const Options& options) {
    if (const auto usage = check_usage(options); !usage) return usage;
    CorrectionRow row;
    std::int64_t known = 0;
    {
        // Read only: what is refused leaves no trace, and no archive is begun.
        auto archive = open_to_read(options.archive);
        if (!archive) return archive.error();
        const auto contents = contents_of(*archive);
        if (!contents) return contents.error();
        auto decided =
            (options.withdraw ? withdrawal_from : correction_from)(*archive, *contents, options);
        if (!decided) return decided.error();
        row = std::move(*decided);
        if (!contents->corrections.empty()) known = contents->corrections.back().row.number;
    }
    row.why = options.why;
    row.author = author_from(options.author);
    row.written_at = written_now();
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    if (const auto put = archive->put_correction(row, known); !put) return put.error();
    const auto now = contents_of(*archive);
    if (!now) return now.error();
    std::cerr << options.archive << ": " << correction_text(now->corrections.back()) << '\n';
    return Done{};
}

Outcome list(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    auto contents = contents_of(*archive);
    if (!contents) return contents.error();
    if (const auto told = tell_by_present_clock(*archive, contents->entries, contents->corrections);
        !told)
        return told;
    if (options.as_json) {
        std::cout << to_document({{"corrections", corrections_json(contents->corrections)}});
        return Done{};
    }
    for (const KnownCorrection& correction : contents->corrections)
        std::cout << correction_text(correction) << '\n';
    if (contents->corrections.empty()) std::cerr << options.archive << " holds no corrections\n";
    return Done{};
}

} // namespace

void add_correct(CLI::App& program, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command = program.add_subcommand(
        "correct", "Put right what was wrong about readings in an archive, or list what was");
    const auto add = [&](const char* name, auto& value, const char* type, const char* what) {
        return command->add_option(name, value, what)->type_name(type);
    };
    add("--archive", options->archive, "FILE", "Archive file")->required();
    add("--deployment", options->deployment, "N",
        "Which of the archive's deployments, by number, where it holds several");
    add("--from", options->from, "TIME", "From which reading on, as they are shown now (RFC 3339)");
    add("--to", options->to, "TIME", "To which reading");
    add("--move-times", options->move_times, "TIME",
        "The clock was wrong: what to add to the times, as +1h or -90s");
    add("--cell-scale", options->cell_scale, "SCALE", "The cell was on this scale");
    add("--salinity", options->salinity_psu, "PSU", "The water had this salinity");
    add("--temperature", options->temperature_c, "C", "The water had this temperature");
    command->add_flag("--swapped-leads", options->swapped_leads,
                      "The leads of hull and cell A were swapped");
    command->add_flag("--leave-out", options->leave_out,
                      "These are no readings of the hull: the cell was lifted, for instance");
    add("--withdraw", options->withdraw, "N", "Correction number N does not count after all");
    add("--why", options->why, "WORDS", "How it is known, for whoever reads the result");
    add_author_option(*command, options->author);
    command->add_flag("--json", options->as_json, "The list as one JSON document");
    command->footer(
        "Without a change, what was corrected is listed. The records stay as they are; a\n"
        "correction is laid over them whenever they are read, and --uncorrected reads them\n"
        "without. What the vessel file says of hull, metals and cell is corrected there.\n\n"
        "Examples:\n"
        "  quaycell correct --archive tern.quaycell --move-times +1h --why \"laptop on summer "
        "time\"\n"
        "  quaycell correct --archive tern.quaycell --leave-out --from 2026-05-04T09:00:00Z \\\n"
        "           --to 2026-05-04T09:40:00Z --why \"cell lifted for cleaning\"\n"
        "  quaycell correct --archive tern.quaycell --withdraw 1 --why \"it was the cell after "
        "all\"");
    command->callback([options, &action] {
        action = [options] { return only_asks(*options) ? list(*options) : write(*options); };
    });
}

} // namespace quaycell
