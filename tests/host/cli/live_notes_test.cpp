#include "cli/live_notes.h"

#include "judging/a_folder.h"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>

using namespace quaycell;
using test::AFolder;

namespace {

const Instant monday = parse_instant("2026-06-01T08:00:00Z").value();

} // namespace

TEST_CASE("an archive that is not there is begun with the first note, and not before") {
    const AFolder folder("live_notes");
    const std::string path = folder.at("tern.quaycell");
    auto notes = LiveNotes::begin(path, "Ann");
    REQUIRE(notes);
    CHECK_FALSE(std::filesystem::exists(path));
    CHECK(notes->keep(7, monday, "pump on") == "kept in " + path + ", a new archive: pump on");
    CHECK(notes->keep(7, monday, "pump off") == "kept in " + path + ": pump off");
    CHECK(notes->lost().empty());
    auto archive = Archive::open(path, OpenMode::read);
    REQUIRE(archive);
    CHECK(archive->notes().value().size() == 2);
}

TEST_CASE("what cannot become the archive of notes is told at the start and stays as it is") {
    const AFolder folder("live_notes");
    const auto no_folder = LiveNotes::begin(folder.at("nowhere/tern.quaycell"), "Ann");
    REQUIRE_FALSE(no_folder);
    CHECK(no_folder.error().code == ErrorCode::not_found);

    const std::string letter = folder.at("letter.txt");
    std::ofstream(letter) << "Dear Ann, this is a letter and no archive, however long it may be.";
    const auto size = std::filesystem::file_size(letter);
    const auto foreign = LiveNotes::begin(letter, "Ann");
    REQUIRE_FALSE(foreign);
    CHECK(foreign.error().code == ErrorCode::wrong_input);
    CHECK(std::filesystem::file_size(letter) == size);
}

TEST_CASE("a note whose archive cannot be begun is told to be in none") {
    const AFolder folder("live_notes");
    const std::string path = folder.at("tern.quaycell");
    auto notes = LiveNotes::begin(path, "Ann");
    REQUIRE(notes);
    std::filesystem::create_directory(path); // meanwhile
    CHECK(notes->keep(7, monday, "pump on").starts_with("NOT KEPT: "));
    CHECK(notes->lost().find("pump on") != std::string::npos);
}
