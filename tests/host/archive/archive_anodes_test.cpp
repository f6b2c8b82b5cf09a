#include "archive/archive.h"
#include "archive/temporary_folder.h"
#include "base/known_time.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("an entry on an anode comes back as it was kept, under a number of its own") {
    const TemporaryFolder folder;
    const Instant monday = parse_instant("2026-05-04T06:00:00Z").value();
    const Instant later = monday + std::chrono::hours{3};
    const AnodeEntryRow entry{0,   monday, "weighed", "Tern", "rudder", "zinc",
                              0.5, 7,      "cleaned", "Ann",  later};
    {
        auto archive = Archive::open(folder / "a", OpenMode::write_create);
        REQUIRE(archive);
        CHECK(archive->put_anode_entry(entry).value() == 1);
        CHECK(archive->put_anode_entry(entry).value() == 2);
    }
    auto archive = Archive::open(folder / "a", OpenMode::read);
    REQUIRE(archive);
    const auto entries = archive->anode_entries();
    REQUIRE(entries);
    REQUIRE(entries->size() == 2);
    const AnodeEntryRow& kept = entries->back();
    CHECK(kept.number == 2);
    CHECK(kept.at == monday);
    CHECK(kept.written_at == later);
    CHECK(kept.kind + kept.boat + kept.place + kept.alloy + kept.text + kept.author ==
          "weighedTernrudderzinccleanedAnn");
    CHECK(kept.mass_kg == 0.5);
    CHECK(kept.about == 7);
}

TEST_CASE("an entry of a time that is none is told as damage, and the others are read") {
    const TemporaryFolder folder;
    const Instant monday = parse_instant("2026-05-04T06:00:00Z").value();
    const Instant never{Milliseconds{9'200'000'000'000'000'000}};
    const AnodeEntryRow entry{0,   monday, "weighed", "Tern", "rudder", "zinc",
                              0.5, 7,      "cleaned", "Ann",  monday};
    AnodeEntryRow at_never = entry, written_never = entry;
    at_never.at = never;
    written_never.written_at = earliest_instant - Milliseconds{1};
    {
        auto archive = Archive::open(folder / "a", OpenMode::write_create);
        REQUIRE(archive);
        for (const AnodeEntryRow& each : {at_never, written_never, entry})
            REQUIRE(archive->put_anode_entry(each));
    }
    const auto refused = Archive::open(folder / "a", OpenMode::write_create);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::damaged);
    CHECK(refused.error().what.find("2 rows of its table anode_entry") != std::string::npos);
    auto archive = Archive::open(folder / "a", OpenMode::read);
    REQUIRE(archive);
    const auto entries = archive->anode_entries();
    REQUIRE(entries);
    REQUIRE(entries->size() == 1);
    CHECK(entries->front().number == 3);
    REQUIRE(archive->losses().size() == 1);
    CHECK(archive->losses().front() == "2 entries on anodes can no longer be read");
}
