// quaycell anodes fitted, weighed, strike, log: the log of the anodes in the archive.
#include "anode/choice.h"
#include "anode/sizing.h"
#include "archive/archive.h"
#include "cli/anodes.h"
#include "diagnosis/anode_words.h"
#include "judging/amount.h"
#include "judging/anode_log.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/typed_text.h"

#include <algorithm>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <iostream>

namespace quaycell {

namespace {

struct Options {
    std::string archive;
    std::string boat;
    std::string place;
    std::string alloy;
    std::optional<double> mass_kg;
    std::optional<double> percent_left;
    std::string size_m; ///< of one fitted; empty: not given
    std::string day;
    std::int64_t entry = 0;
    std::string text;
    std::string author;
};

AnodeEntryRow row_of(const Options& options, AnodeEntryKind kind, Instant at) {
    AnodeEntryRow row;
    row.at = at;
    row.kind = name_of(kind);
    row.boat = options.boat;
    row.place = options.place;
    row.alloy = options.alloy;
    row.mass_kg = options.mass_kg.value_or(0);
    row.about = options.entry;
    row.text = options.text;
    row.author = author_from(options.author);
    row.written_at = written_now();
    return row;
}

/// An error (wrong_input) unless the anodes can be what the rows say.
std::optional<Error> contradiction(const std::vector<AnodeEntryRow>& rows, const Options& options) {
    const auto anodes = anodes_in(rows, options.archive);
    if (!anodes) return anodes.error();
    for (const LoggedAnode& each : *anodes) {
        const auto wear = wear_of(each.anode, usually_renewed_at_gone);
        if (!wear && wear.error().code == ErrorCode::wrong_input) return wear.error();
    }
    return std::nullopt;
}

Outcome keep(const Options& options, AnodeEntryRow row, Archive& archive) {
    for (const auto& [typed, option] : {std::pair(row.boat, "--boat"),
                                        {row.place, "--place"},
                                        {row.text, "--why"},
                                        {row.author, "--author"}})
        if (auto error = not_a_line(typed, option)) return *error;
    if (row.place.empty() || (row.kind == name_of(AnodeEntryKind::strike) && row.text.empty()))
        return Error{ErrorCode::wrong_usage, "nothing is said",
                     row.place.empty() ? "--place" : "--why", "Write a word or two"};
    const auto number = archive.put_anode_entry(row);
    if (!number) return number.error();
    std::cerr << fmt::format("entry {} kept in {}\n", *number, options.archive);
    return Done{};
}

std::optional<Error> lies_ahead(Instant at) {
    constexpr std::chrono::hours clocks_differ_by{24};
    if (at <= written_now() + clocks_differ_by) return std::nullopt;
    return Error{ErrorCode::wrong_usage, fmt::format("{} is still to come", to_text(at)), "--date",
                 "Give the day on which it was done"};
}

/// Of what the last row fits beside what is aboard; what cannot be understood is told by others.
void warn_of_two_alloys(const std::vector<AnodeEntryRow>& rows, const Options& options) {
    const auto others = of_another_alloy(rows, options.archive);
    if (!others || others->empty()) return;
    std::vector<std::string> aboard;
    for (const LoggedAnode& each : *others)
        aboard.push_back(fmt::format("{} ({})", each.anode.place, name_of(each.anode.alloy)));
    std::cerr << fmt::format("quaycell: warning: this one is of {}, and not so: {}. {} `quaycell "
                             "anodes plan` says which alloy to keep.\n",
                             options.alloy, fmt::join(aboard, ", "), one_alloy_caution);
}

/// What the log holds beside the fitting that its last row is: an anode that was fitted later, or
/// what was seen since and entered before.
void tell_of_others_there(const std::vector<AnodeEntryRow>& rows, const Options& options) {
    const auto anodes = anodes_in(rows, options.archive);
    if (!anodes) return; // contradiction() has looked
    const std::string_view boat = boats_of(rows).back();
    const auto there = std::ranges::find_if(*anodes, [&](const LoggedAnode& each) {
        return each.boat == boat && each.anode.place == options.place;
    });
    const FittedAnode& anode = there->anode;
    if (anode.fitted != rows.back().at) {
        std::cerr << fmt::format("kept for the record: the one there now was fitted on {}\n",
                                 day_text(anode.fitted));
        return;
    }
    for (const AnodeMassSeen& each : anode.seen)
        std::cerr << fmt::format("the {:g} kg of {} count for this anode now; if they were of "
                                 "another one, strike them: quaycell anodes strike\n",
                                 each.mass_kg, day_text(each.at));
}

Outcome fitted(const Options& options) {
    const auto alloy = alloy_named(options.alloy);
    if (!alloy) return alloy.error();
    if (!options.size_m.empty()) {
        const auto volume_m3 = box_m3_from(options.size_m, "--size-m");
        if (!volume_m3) return volume_m3.error();
        if (auto error =
                too_heavy_for(*volume_m3, *options.mass_kg, facts_of(*alloy).density_kg_m3))
            return *error;
    }
    const auto at = day_from(options.day, "--date");
    if (!at) return at.error();
    if (auto error = lies_ahead(*at)) return *error;
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    auto rows = archive->anode_entries();
    if (!rows) return rows.error();
    Options said = options;
    if (said.boat.empty()) {
        const auto boats = named_boats(*rows);
        if (boats.size() > 1)
            return Error{ErrorCode::wrong_usage,
                         fmt::format("the archive holds anodes of several boats: {}",
                                     fmt::join(boats, ", ")),
                         "--boat", "Say which: --boat NAME"};
        said.boat = only_boat(*rows);
    }
    AnodeEntryRow row = row_of(said, AnodeEntryKind::fitted, *at);
    if (!options.size_m.empty()) row.text = options.size_m + " m";
    rows->push_back(row);
    if (auto error = contradiction(*rows, options)) return *error;
    if (const auto kept = keep(options, std::move(row), *archive); !kept) return kept;
    tell_of_others_there(*rows, options);
    warn_of_two_alloys(*rows, options);
    return Done{};
}

Outcome weighed(const Options& options) {
    if (options.mass_kg.has_value() == options.percent_left.has_value())
        return Error{ErrorCode::wrong_usage, "what is left is not said, or said twice", "",
                     "Give --mass-kg from a scale, or --percent-left by eye"};
    const auto at = day_from(options.day, "--date");
    if (!at) return at.error();
    if (auto error = lies_ahead(*at)) return *error;
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    auto rows = archive->anode_entries();
    if (!rows) return rows.error();
    const auto anodes = anodes_in(
        options.boat.empty() ? *rows : entries_of_boat(*rows, options.boat), options.archive);
    if (!anodes) return anodes.error();
    const auto anode = anode_at(*anodes, options.place);
    if (!anode) return anode.error();
    if (*at < anode->anode.fitted)
        return Error{ErrorCode::wrong_input,
                     fmt::format("{} lies before its fitting on {}", to_text(*at),
                                 to_text(anode->anode.fitted)),
                     options.place, "Look at both dates again"};
    Options said = options;
    if (said.boat.empty()) said.boat = anode->boat;
    if (options.percent_left) said.mass_kg = anode->anode.new_mass_kg * *options.percent_left / 100;
    const AnodeEntryRow row =
        row_of(said, options.mass_kg ? AnodeEntryKind::weighed : AnodeEntryKind::estimated, *at);
    rows->push_back(row);
    if (auto error = contradiction(*rows, options)) return *error;
    return keep(options, row, *archive);
}

Outcome strike(const Options& options) {
    auto archive = Archive::open(options.archive, OpenMode::write_create);
    if (!archive) return archive.error();
    const auto rows = archive->anode_entries();
    if (!rows) return rows.error();
    const auto struck = std::ranges::find(*rows, options.entry, &AnodeEntryRow::number);
    if (struck == rows->end())
        return Error{ErrorCode::not_found, fmt::format("there is no entry {}", options.entry),
                     options.archive, "quaycell anodes log lists them."};
    Options said = options;
    said.boat = struck->boat;
    said.place = struck->place;
    const auto strikes = struck_entries(*rows);
    if (struck->kind == name_of(AnodeEntryKind::strike) || strikes.contains(options.entry))
        return Error{ErrorCode::refused,
                     fmt::format("entry {} is struck already, or a strike itself", options.entry),
                     options.archive, "quaycell anodes log lists them."};
    const auto boats = boats_of(*rows);
    const std::string_view boat = boats[static_cast<std::size_t>(struck - rows->begin())];
    const auto is_seen_since = [&](const AnodeEntryRow& row) {
        return row.place == struck->place && row.number > struck->number &&
               row.kind != name_of(AnodeEntryKind::fitted) &&
               row.kind != name_of(AnodeEntryKind::strike) && !strikes.contains(row.number);
    };
    bool has_weighings = false;
    for (std::size_t i = 0; i < rows->size(); ++i)
        has_weighings = has_weighings || (boats[i] == boat && is_seen_since((*rows)[i]));
    if (struck->kind == name_of(AnodeEntryKind::fitted) && has_weighings)
        return Error{ErrorCode::refused,
                     fmt::format("entry {} is a fitting that weighings followed", options.entry),
                     options.archive, "Strike those first: quaycell anodes log lists them."};
    auto with = *rows;
    with.push_back(row_of(said, AnodeEntryKind::strike, written_now()));
    if (auto error = contradiction(with, options)) return *error;
    return keep(options, with.back(), *archive);
}

/// Every entry, struck ones too.
Outcome list(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto rows = archive->anode_entries();
    if (!rows) return rows.error();
    const auto struck = struck_entries(*rows);
    for (const AnodeEntryRow& row : *rows) {
        std::cout << fmt::format("{} {} {}{}{}: {}", row.number, day_text(row.at), row.boat,
                                 row.boat.empty() ? "" : ", ", row.place, row.kind);
        if (row.kind == name_of(AnodeEntryKind::strike))
            std::cout << fmt::format(" of entry {}: {}", row.about, row.text);
        else
            std::cout << fmt::format(" {}{}{:g} kg{}{}", row.alloy, row.alloy.empty() ? "" : ", ",
                                     row.mass_kg, row.text.empty() ? "" : ", ", row.text);
        std::cout << fmt::format(", by {}{}\n", row.author,
                                 struck.contains(row.number) ? " (struck)" : "");
    }
    if (rows->empty()) std::cerr << options.archive << " holds no entry on anodes\n";
    return Done{};
}

void add_archive(CLI::App& command, Options& options) {
    command.add_option("--archive", options.archive, "Where the log is kept")
        ->type_name("FILE")
        ->required();
}

void add_about(CLI::App& command, Options& options) {
    add_archive(command, options);
    command.add_option("--place", options.place, "Where it sits: rudder, shaft, hull port ...")
        ->type_name("TEXT")
        ->required();
    command.add_option("--boat", options.boat, "Where the archive holds several")
        ->type_name("NAME");
    command.add_option("--date", options.day, "2026-05-01; else now")->type_name("DATE");
    add_author_option(command, options.author);
}

} // namespace

void add_anodes_log(CLI::App& anodes, Action& action) {
    const auto fit = std::make_shared<Options>();
    CLI::App* command = anodes.add_subcommand("fitted", "Enter a new anode");
    add_about(*command, *fit);
    command->add_option("--alloy", fit->alloy, "zinc, aluminium or magnesium")
        ->type_name("ALLOY")
        ->required();
    command->add_option("--mass-kg", fit->mass_kg, "New, without bolts")
        ->type_name("KG")
        ->required()
        ->check(CLI::Range(lightest_anode_kg, heaviest_anode_kg));
    command
        ->add_option("--size-m", fit->size_m,
                     "Length, width and thickness, 0.30x0.15x0.04: whether it can weigh so much")
        ->type_name("LxWxT");
    command->footer("Example:\n  quaycell anodes fitted --archive tern.quaycell --place rudder "
                    "--alloy zinc --mass-kg 0.9 --date 2026-03-28");
    command->callback([fit, &action] { action = [fit] { return fitted(*fit); }; });

    const auto weigh = std::make_shared<Options>();
    command = anodes.add_subcommand("weighed", "Enter what is left of an anode");
    add_about(*command, *weigh);
    command->add_option("--mass-kg", weigh->mass_kg, "By a scale, cleaned and dry")
        ->type_name("KG")
        ->check(CLI::Range(0.0, heaviest_anode_kg));
    command
        ->add_option("--percent-left", weigh->percent_left, "By eye: of the volume, not the face")
        ->type_name("N")
        ->check(CLI::Range(0.0, 100.0));
    command->footer("Examples:\n"
                    "  quaycell anodes weighed --archive tern.quaycell --place rudder --mass-kg "
                    "0.61\n"
                    "  quaycell anodes weighed --archive tern.quaycell --place shaft "
                    "--percent-left 60 --date 2026-08-14");
    command->callback([weigh, &action] { action = [weigh] { return weighed(*weigh); }; });

    const auto told = std::make_shared<Options>();
    command = anodes.add_subcommand("log", "Every entry, with its number");
    add_archive(*command, *told);
    command->footer("Struck entries stay in the list, and are marked.\n\n"
                    "Example:\n  quaycell anodes log --archive tern.quaycell");
    command->callback([told, &action] { action = [told] { return list(*told); }; });

    const auto unsay = std::make_shared<Options>();
    command = anodes.add_subcommand("strike", "An entry does not count; it is kept all the same");
    add_archive(*command, *unsay);
    command->add_option("--entry", unsay->entry, "Its number")->type_name("N")->required();
    command->add_option("--why", unsay->text, "The reason")->type_name("TEXT")->required();
    add_author_option(*command, unsay->author);
    command->footer("Nothing is removed, and a strike cannot be struck: enter it again instead.\n\n"
                    "Example:\n  quaycell anodes strike --archive tern.quaycell --entry 3 --why "
                    "\"read the wrong scale\"");
    command->callback([unsay, &action] { action = [unsay] { return strike(*unsay); }; });
}

} // namespace quaycell
