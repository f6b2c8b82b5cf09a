#include "judging/anode_log.h"

#include "judging/anode_document.h"

#include <cmath>
#include <cstring>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// On the day of its number in May 2026. Invented.
AnodeEntryRow entry(std::int64_t number, const char* kind, const char* place, double mass_kg,
                    const char* boat = "") {
    AnodeEntryRow row;
    row.number = number;
    row.at = *parse_instant("2026-05-01T12:00:00Z") + std::chrono::days{number - 1};
    row.kind = kind;
    row.boat = boat;
    row.place = place;
    if (row.kind == "fitted") row.alloy = "zinc";
    row.mass_kg = mass_kg;
    row.author = "Ann Invented";
    row.written_at = row.at;
    return row;
}

AnodeEntryRow strike(std::int64_t number, std::int64_t about, const char* place) {
    AnodeEntryRow row = entry(number, "strike", place, 0);
    row.about = about;
    row.text = "wrong";
    return row;
}

std::vector<LoggedAnode> anodes(const std::vector<AnodeEntryRow>& rows) {
    return anodes_in(rows, "a.quaycell").value();
}

} // namespace

TEST_CASE("a new anode takes the place of the one before, and is weighed anew") {
    const auto fitted =
        anodes({entry(1, "fitted", "rudder", 2), entry(2, "weighed", "rudder", 1.5),
                entry(3, "fitted", "rudder", 2.2), entry(4, "estimated", "rudder", 2)});
    REQUIRE(fitted.size() == 1);
    CHECK(fitted[0].anode.new_mass_kg == 2.2);
    REQUIRE(fitted[0].anode.seen.size() == 1);
    CHECK_FALSE(fitted[0].anode.seen[0].weighed);
}

TEST_CASE("what is written down late counts for the time that it is about") {
    auto late = entry(5, "weighed", "rudder", 1.9);
    late.at = *parse_instant("2026-05-02T12:00:00Z");
    const auto in_order =
        anodes({entry(1, "fitted", "rudder", 2), entry(4, "weighed", "rudder", 1.5), late});
    REQUIRE(in_order[0].anode.seen.size() == 2);
    CHECK(in_order[0].anode.seen[0].mass_kg == 1.9);
    // About the anode before, where the present one was fitted since.
    const auto before =
        anodes({entry(1, "fitted", "rudder", 2), entry(4, "fitted", "rudder", 2), late});
    CHECK(before[0].anode.seen.empty());
}

TEST_CASE("a weighing is of the anode that was there, though its fitting is entered afterwards") {
    auto forgotten = entry(4, "fitted", "rudder", 2.2);
    forgotten.at = *parse_instant("2026-05-02T12:00:00Z");
    const auto renewed = anodes({entry(1, "fitted", "rudder", 2), entry(2, "weighed", "rudder", 1),
                                 entry(3, "weighed", "rudder", 1.8), forgotten});
    REQUIRE(renewed.size() == 1);
    CHECK(renewed[0].anode.new_mass_kg == 2.2);
    // On day 2, that of the fitting, the one before was weighed.
    REQUIRE(renewed[0].anode.seen.size() == 1);
    CHECK(renewed[0].anode.seen[0].mass_kg == 1.8);
}

TEST_CASE("a struck entry does not count") {
    CHECK(anodes({entry(1, "fitted", "rudder", 2), entry(2, "weighed", "rudder", 0.2),
                  strike(3, 2, "rudder")})[0]
              .anode.seen.empty());
    CHECK(anodes({entry(1, "fitted", "rudder", 2), strike(2, 1, "rudder")}).empty());
}

TEST_CASE("words without a meaning are told as damage, with the entry") {
    auto alloy = entry(1, "fitted", "rudder", 2);
    alloy.alloy = "lead";
    for (const auto& rows : {std::vector{entry(7, "painted", "rudder", 2)},
                             std::vector{entry(7, "weighed", "keel", 2)}, std::vector{alloy},
                             std::vector{entry(7, "fitted", "rudder", 0)},
                             std::vector{entry(7, "fitted", "rudder", 1e308)},
                             std::vector{entry(7, "fitted", "rudder", std::nan(""))},
                             std::vector{entry(7, "weighed", "rudder", -1)}}) {
        const auto refused = anodes_in(rows, "a.quaycell");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::damaged);
        CHECK(refused.error().where == "a.quaycell");
        CHECK(refused.error().what.find("entry " + std::to_string(rows[0].number)) == 0);
    }
}

TEST_CASE("an anode that was entered with its boat and without is one") {
    const auto unnamed = entry(1, "fitted", "rudder", 2);
    const auto of_tern = entry(2, "fitted", "rudder", 3, "Tern");
    const auto weighing = entry(3, "weighed", "rudder", 2.5);
    const auto of_gull = entry(4, "fitted", "rudder", 4, "Gull");
    const auto one = anodes({unnamed, of_tern, weighing});
    REQUIRE(one.size() == 1);
    CHECK(one[0].boat == "Tern");
    CHECK(one[0].anode.new_mass_kg == 3);
    CHECK(one[0].anode.seen.size() == 1);
    const auto renewed = anodes({of_tern, entry(3, "fitted", "rudder", 1.8)});
    REQUIRE(renewed.size() == 1);
    CHECK(renewed[0].anode.new_mass_kg == 1.8);
    // What was hers stays hers when another boat comes.
    const std::vector rows{unnamed, of_tern, weighing, of_gull};
    CHECK(anodes(rows).size() == 2);
    CHECK(anodes(entries_of_boat(rows, "Tern"))[0].anode.seen.size() == 1);
    CHECK(entries_of_boat(rows, "Gull").size() == 1);
}

TEST_CASE("a weighing that names the boat is of the anode that was fitted without") {
    const std::vector rows{entry(1, "fitted", "rudder", 2), entry(2, "fitted", "hull", 3, "Tern"),
                           entry(3, "weighed", "rudder", 1.5, "Tern"),
                           entry(4, "fitted", "rudder", 4, "Gull")};
    const auto all = anodes(rows);
    REQUIRE(all.size() == 3);
    CHECK(all[0].boat == "Tern");
    CHECK(all[0].anode.seen.size() == 1);
    CHECK(all[2].anode.seen.empty());
}

TEST_CASE("an anode is found by its place, and the boat is asked for where two have one there") {
    const auto two =
        anodes({entry(1, "fitted", "rudder", 2, "Tern"), entry(2, "fitted", "rudder", 3, "Gull"),
                entry(3, "fitted", "hull", 4, "Gull")});
    CHECK(anode_at(two, "hull")->anode.new_mass_kg == 4);
    CHECK(anode_at(two, "rudder").error().code == ErrorCode::wrong_usage);
    const auto none = anode_at(two, "keel");
    CHECK(none.error().code == ErrorCode::not_found);
    CHECK(none.error().remedy.find("rudder") != std::string::npos);
}

TEST_CASE("an alloy that differs from what is aboard is found, on this boat and in this water") {
    const auto of = [](AnodeEntryRow row, const char* alloy) {
        row.alloy = alloy;
        return row;
    };
    const auto places = [](const std::vector<AnodeEntryRow>& rows) {
        std::vector<std::string> found;
        for (const LoggedAnode& each : of_another_alloy(rows, "a.quaycell").value())
            found.push_back(each.anode.place);
        return found;
    };
    const auto zinc = of(entry(1, "fitted", "rudder", 2, "Tern"), "zinc");
    const auto pencil = of(entry(2, "fitted", "engine", 0.1, "Tern"), "zinc");
    const auto of_gull = of(entry(3, "fitted", "rudder", 2, "Gull"), "zinc");
    const auto bar = of(entry(4, "fitted", "keel", 2, "Tern"), "aluminium");
    CHECK(places({zinc, pencil, of_gull, bar}) == std::vector<std::string>{"rudder"});
    CHECK(places({bar, of(entry(5, "fitted", "engine", 0.1, "Tern"), "zinc")}).empty());
    CHECK(places({zinc, of(entry(5, "fitted", "hull, port", 2, "Tern"), "zinc")}).empty());
    // In place of the other one there are not two.
    CHECK(places({zinc, of(entry(5, "fitted", "rudder", 2, "Tern"), "aluminium")}).empty());
    CHECK(places({zinc, strike(2, 1, "rudder"), bar}).empty());
    // Entered for the record only: another one hangs there since.
    auto long_ago = of(entry(5, "fitted", "keel", 2, "Tern"), "zinc");
    long_ago.at = zinc.at - std::chrono::days{300};
    CHECK(places({zinc, bar, long_ago}).empty());
    // Where no boat is named, there is one.
    CHECK(places({of(entry(1, "fitted", "rudder", 2), "zinc"),
                  of(entry(2, "fitted", "keel", 2), "aluminium")}) ==
          std::vector<std::string>{"rudder"});
}

TEST_CASE("a day is noon of that day, and nonsense is none") {
    CHECK(*day_from("2026-05-01", "--date") == *parse_instant("2026-05-01T12:00:00Z"));
    CHECK(*day_from("2026-05-01T09:30:00+02:00", "--date") ==
          *parse_instant("2026-05-01T07:30:00Z"));
    CHECK(day_from("2026-13-01", "--date").error().where == "--date");
    CHECK(day_from("yesterday", "--date").error().code == ErrorCode::wrong_usage);
}

TEST_CASE("a log comes out of its document as it went in") {
    const AnodeDocument log{
        "Tern",
        {entry(1, "fitted", "rudder \"x\" \xE9\x8C\xA8", 2.25, "Tern"), strike(2, 1, "rudder")}};
    const auto again = parse_anode_document(anode_document(log), "anodes.json");
    REQUIRE(again);
    CHECK(again->boat == "Tern");
    REQUIRE(again->entries.size() == 2);
    CHECK(again->entries[0].place == log.entries[0].place);
    CHECK(again->entries[0].mass_kg == 2.25);
    CHECK(again->entries[0].at == log.entries[0].at);
    CHECK(again->entries[1].about == 1);
    CHECK(anode_document(*again) == anode_document(log));
    // A time that no calendar holds is none, wherever it stands.
    for (const char* key : {"\"at_ms\": ", "\"written_at_ms\": "})
        for (const char* never : {"9200000000000000000", "-1"}) {
            std::string hostile = anode_document(log);
            hostile.insert(hostile.find(key) + std::strlen(key), std::string(never) + ", \"x\": ");
            CHECK(parse_anode_document(hostile, "anodes.json").error().what.find(never) !=
                  std::string::npos);
        }
    for (const char* other : {"", "{}", "[]", "{\"boat\":\"\",\"entries\":[{}]}"})
        CHECK(parse_anode_document(other, "anodes.json").error().where == "anodes.json");
}
