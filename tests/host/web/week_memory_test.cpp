#include "web/week_memory.h"

#include "judging/a_folder.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace quaycell;
using namespace quaycell::web;
using quaycell::test::AFolder;

namespace {

const Instant monday = parse_instant("2026-05-04T00:00:00Z").value();

/// Two days of a reading an hour.
std::string two_days() {
    std::string csv = "time,potential_mv,cell_scale\r\n";
    for (int hour = 0; hour < 48; ++hour)
        csv += fmt::format("2026-05-0{}T{:02}:00:00Z,{},agcl/seawater\r\n", 4 + hour / 24,
                           hour % 24, hour < 24 ? -900 : -500);
    return csv;
}

struct Kept {
    Kept() {
        boat.hull = "steel";
        source.archive_file = folder.at("a.quaycell");
        auto archive = Archive::open(source.archive_file, OpenMode::write_create).value();
        REQUIRE(archive.put_imported("a.csv", monday, 48, two_days(), monday));
    }

    AFolder folder{"week_memory"};
    BoatOptions boat;
    TraceOptions source;
    WeekMemory memory;
};

} // namespace

TEST_CASE("the same part is not judged again, and another part is judged as what it is") {
    Kept kept;
    const TraceJudgement* const whole = kept.memory.judged(kept.source, kept.boat).value();
    CHECK(whole->trace.time.size() == 48);
    const double covered_s = whole->judged.covered_s;
    CHECK(kept.memory.judged(kept.source, kept.boat).value() == whole);
    CHECK(whole->judged.covered_s == covered_s);
    kept.source.window = {"2026-05-05T00:00:00Z", "2026-05-05T23:00:00Z"};
    const TraceJudgement* const second = kept.memory.judged(kept.source, kept.boat).value();
    CHECK(second->trace.time.size() == 24);
    CHECK(second->judged.overall == Verdict::under_protected); // -500 mV, steel needs -800
    kept.source.window = {};
    CHECK(kept.memory.judged(kept.source, kept.boat).value()->trace.time.size() == 48);
}

TEST_CASE("what happened is told of a part as of the whole, however little of it there is") {
    Kept kept;
    const auto of_whole = kept.memory.judged(kept.source, kept.boat).value()->judged;
    REQUIRE(of_whole.events.size() == 1);
    REQUIRE(of_whole.spells.size() == 2);
    // Four readings about the step in the middle: too few to find any in.
    const WindowOptions about_it{"2026-05-04T22:30:00Z", "2026-05-05T02:30:00Z"};
    kept.source.window = about_it;
    for (const bool whole_came_first : {true, false}) {
        CAPTURE(whole_came_first);
        WeekMemory other;
        WeekMemory& memory = whole_came_first ? kept.memory : other;
        const TraceJudgement* const part = memory.judged(kept.source, kept.boat).value();
        CHECK(part->trace.time.size() == 4);
        REQUIRE(part->judged.events.size() == 1);
        CHECK(part->judged.events[0].time == of_whole.events[0].time);
        CHECK(part->judged.events[0].kind == of_whole.events[0].kind);
        CHECK(part->judged.events[0].change_mv == of_whole.events[0].change_mv);
        REQUIRE(part->judged.spells.size() == 2);
        CHECK(part->judged.spells[0].from == of_whole.spells[0].from);
        CHECK(part->judged.spells[1].to == of_whole.spells[1].to);
    }
    kept.source.window = {"2026-05-04T00:00:00Z", "2026-05-04T12:00:00Z"};
    const TraceJudgement* const before = kept.memory.judged(kept.source, kept.boat).value();
    CHECK(before->judged.events.empty());
    CHECK(before->judged.spells.size() == 1);
}

TEST_CASE("what is written to the archive meanwhile is read") {
    Kept kept;
    kept.source.deployments = std::string("all");
    CHECK(kept.memory.judged(kept.source, kept.boat).value()->trace.time.size() == 48);
    std::string csv = "time,potential_mv,cell_scale\r\n2026-05-06T00:00:00Z,-900,agcl/seawater\r\n";
    auto archive = Archive::open(kept.source.archive_file, OpenMode::write_create).value();
    REQUIRE(archive.put_imported("b.csv", monday + std::chrono::days{2}, 1, csv, monday));
    const auto read = kept.memory.judged(kept.source, kept.boat);
    REQUIRE(read);
    CHECK((*read)->trace.time.size() == 49);
}

TEST_CASE("what cannot be read is told, and what can be is read after that") {
    Kept kept;
    TraceOptions wrong = kept.source;
    wrong.deployments = std::string("7");
    CHECK_FALSE(kept.memory.judged(wrong, kept.boat));
    CHECK(kept.memory.judged(kept.source, kept.boat));
    wrong.archive_file = kept.folder.at("none.quaycell");
    CHECK_FALSE(kept.memory.judged(wrong, kept.boat));
}
