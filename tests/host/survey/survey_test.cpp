#include "survey/survey.h"

#include "made_survey.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE(
    "the walk goes to the next point without a reading, round the end, past what was skipped") {
    MadeSurvey made;
    CHECK(next_point(made.survey, unplugged, 0) == 0);
    made.read("main bus", unplugged, -870);
    made.add(EntryKind::skip, "sea cock", unplugged);
    CHECK(next_point(made.survey, unplugged, 1) == 1);
    CHECK(next_point(made.survey, unplugged, 2) == 3);
    made.read("stern tube", unplugged, -250);
    CHECK(next_point(made.survey, unplugged, 4) == 1);
    made.read("rudder", unplugged, -869);
    CHECK_FALSE(next_point(made.survey, unplugged, 0)); // the dock's earth is not asked for
    CHECK(next_point(made.survey, plugged, 0) == 0);    // another pass
}

TEST_CASE("a pass that was begun lacks each point that was neither read nor skipped") {
    MadeSurvey made;
    CHECK(unread(made.survey).empty());
    made.read("dock earth", plugged, -600); // belongs to no pass
    CHECK(unread(made.survey).empty());
    made.read("rudder", unplugged, 870);
    made.add(EntryKind::strike, "rudder", unplugged, 0, 2);
    made.add(EntryKind::skip, "sea cock", unplugged);
    made.read("main bus", unplugged, -870);
    const auto found = unread(made.survey);
    REQUIRE(found.size() == 2);
    CHECK(found[0].point->name == "rudder");
    CHECK(found[1].point->name == "stern tube");
    CHECK(found[1].state == unplugged);
}

TEST_CASE("the boat is left in the last state said, not in that of an entry spoken of later") {
    MadeSurvey made;
    CHECK(last_state(made.survey) == unplugged);
    made.read("rudder", unplugged, -870);
    made.add(EntryKind::state, "", plugged);
    CHECK(last_state(made.survey) == plugged);
    made.add(EntryKind::reference, "rudder", unplugged, -869, 1);
    CHECK(last_state(made.survey) == plugged);
    made.add(EntryKind::state, "", anodes_off);
    CHECK(last_state(made.survey) == anodes_off);
}

TEST_CASE("the way back goes round past the dock's earth") {
    const MadeSurvey made; // whose last point the dock's earth is
    CHECK(point_before(made.survey, made.survey.points.size()) == 3);
    CHECK(point_before(made.survey, 0) == 3);
    CHECK(point_before(made.survey, 2) == 1);
}

TEST_CASE("what is struck no longer stands, and the point is to be read again") {
    MadeSurvey made;
    made.read("rudder", unplugged, 869);
    made.read("rudder", unplugged, -869);
    made.add(EntryKind::strike, "rudder", unplugged, 0, 1);
    const auto readings = standing(made.survey, EntryKind::reading, "rudder", unplugged);
    REQUIRE(readings.size() == 1);
    CHECK(readings[0]->potential_mv == -869);
    made.add(EntryKind::strike, "rudder", unplugged, 0, 2);
    CHECK_FALSE(is_done(made.survey, "rudder", unplugged));
}

TEST_CASE("every word of a survey leads back to what it means") {
    for (const auto role :
         {PointRole::hull, PointRole::bonded, PointRole::unbonded, PointRole::dock_earth})
        CHECK(point_role_named(name_of(role)).value() == role);
    for (const auto kind :
         {EntryKind::reading, EntryKind::reference, EntryKind::skip, EntryKind::note,
          EntryKind::photo, EntryKind::strike, EntryKind::state, EntryKind::finish})
        CHECK(entry_kind_named(name_of(kind)).value() == kind);
    for (const auto shore : {ShoreCord::plugged, ShoreCord::unplugged})
        CHECK(shore_cord_named(name_of(shore)).value() == shore);
    for (const auto anodes : {Anodes::connected, Anodes::disconnected})
        CHECK(anodes_named(name_of(anodes)).value() == anodes);
    for (const auto travel : {CellTravel::one_place, CellTravel::moved})
        CHECK(cell_travel_named(name_of(travel)).value() == travel);
    const auto unknown = cell_travel_named("drifting");
    REQUIRE_FALSE(unknown);
    CHECK(unknown.error().what == "\"drifting\" is no way of the cell");
    CHECK(unknown.error().remedy == "Use one of: one-place, moved");
}

TEST_CASE("a survey is finished when somebody says so") {
    MadeSurvey made;
    CHECK_FALSE(is_finished(made.survey));
    made.add(EntryKind::finish, "", unplugged);
    CHECK(is_finished(made.survey));
}
