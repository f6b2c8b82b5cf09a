#include "archive/archive.h"
#include "archive/temporary_folder.h"

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
