#include "survey/assessment.h"

#include "made_survey.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("the hull is judged by its own row, a fitting by its metal's") {
    MadeSurvey made;
    made.read("main bus", unplugged, -700);
    made.read("rudder", unplugged, -560);
    made.read("sea cock", unplugged, -700);
    const SurveyAssessment found = made.assessed();
    // ABYC E-2 as transcribed: plastic with bronze or stainless gear, -550 to -1100 mV.
    CHECK(at(found, "main bus").judgement.verdict == Verdict::protected_);
    CHECK(at(found, "main bus").judgement.rows.front().criterion.subject == "grp");
    // EN 12473 as remembered: stainless below PREN 40 from -600 mV, copper alloys from -450 mV.
    CHECK(at(found, "rudder").judgement.verdict == Verdict::under_protected);
    CHECK(at(found, "rudder").judgement.rows.front().criterion.id == "en_ss");
    CHECK(at(found, "sea cock").judgement.verdict == Verdict::protected_);
    CHECK(at(found, "sea cock").judgement.rows.front().criterion.id == "en_cu");
}

TEST_CASE(
    "bonded metals agree within 5 mV with the cell in one place, within 50 mV with one moved") {
    MadeSurvey made;
    made.read("main bus", unplugged, -870);
    made.read("rudder", unplugged, -865);
    made.read("sea cock", unplugged, -864);
    CHECK(at(made.assessed(), "rudder").bond == Bond::same);
    CHECK(at(made.assessed(), "sea cock").bond == Bond::differs);
    CHECK(at(made.assessed(), "sea cock").off_hull_mv == doctest::Approx(6));
    made.survey.cell_travel = CellTravel::moved;
    CHECK(at(made.assessed(), "sea cock").bond == Bond::same);
    made.survey.entries.back().potential_mv = -819;
    CHECK(at(made.assessed(), "sea cock").bond == Bond::differs);
    made.survey.entries.back().potential_mv = -820;
    CHECK(at(made.assessed(), "sea cock").bond == Bond::same);
}

TEST_CASE("an unbonded fitting, the dock's earth and a pass without the hull are not compared") {
    MadeSurvey made;
    made.read("main bus", unplugged, -870);
    made.read("stern tube", unplugged, -250);
    made.read("dock earth", unplugged, -600);
    made.read("rudder", plugged, -500);
    const SurveyAssessment found = made.assessed();
    CHECK(at(found, "stern tube").bond == Bond::not_compared);
    CHECK(at(found, "stern tube").off_hull_mv == doctest::Approx(620));
    CHECK_FALSE(at(found, "dock earth").off_hull_mv);
    CHECK(at(found, "dock earth").judgement.verdict == Verdict::no_verdict);
    CHECK(at(found, "rudder", plugged).bond == Bond::not_compared);
    CHECK_FALSE(at(found, "rudder", plugged).off_hull_mv);
}

TEST_CASE("repeats count by their median and show how far they lie apart") {
    MadeSurvey made;
    made.read("rudder", unplugged, -860).spread_mv = 1;
    made.read("rudder", unplugged, -870);
    made.read("rudder", unplugged, -868);
    const PointResult result = at(made.assessed(), "rudder");
    CHECK(result.potential_mv == -868);
    CHECK(result.spread_mv == 10);
    CHECK(result.readings.size() == 3);
}

TEST_CASE("swapped leads are told, not judged, and nothing is held against them") {
    MadeSurvey made;
    made.read("main bus", unplugged, 870);
    made.read("rudder", unplugged, -869);
    SurveyAssessment found = made.assessed();
    CHECK(at(found, "main bus").reversed);
    CHECK(at(found, "main bus").judgement.verdict == Verdict::no_verdict);
    CHECK(at(found, "rudder").bond == Bond::not_compared);
    made.read("sea cock", unplugged, 150); // a potential that carbon could have
    made.survey.entries.front().potential_mv = -870;
    found = made.assessed();
    CHECK(at(found, "sea cock").reversed);
    CHECK(at(found, "sea cock").judgement.verdict == Verdict::no_verdict);
    CHECK(at(found, "sea cock").bond == Bond::not_compared);
}

TEST_CASE("plugged in, the hull lies between the dock's earth and itself unplugged") {
    // Unplugged -640, plugged in -520: an owner's boat, told in a forum. The dock is invented.
    MadeSurvey made;
    made.read("main bus", unplugged, -640);
    made.read("main bus", plugged, -520);
    CHECK(made.assessed().shore.at(0).plugging == Plugging::no_dock);
    SurveyEntry& dock = made.read("dock earth", unplugged, -450);
    CHECK(made.assessed().shore.at(0).plugging == Plugging::between);
    dock.potential_mv = -526; // as far beyond as readings in one place may differ, and more
    CHECK(made.assessed().shore.at(0).plugging == Plugging::outside);
    dock.potential_mv = -525;
    CHECK(made.assessed().shore.at(0).plugging == Plugging::between);
    dock.potential_mv = -800;
    CHECK(made.assessed().shore.at(0).plugging == Plugging::outside);
}

TEST_CASE("a dock's earth that was read with swapped leads does not count") {
    MadeSurvey made;
    made.read("dock earth", unplugged, 600);
    CHECK_FALSE(made.assessed().dock_earth_mv);
    made.read("dock earth", plugged, -600);
    CHECK(made.assessed().dock_earth_mv == -600);
    CHECK(made.assessed().dock_earth_standard_mv == doctest::Approx(-600));
}

TEST_CASE("a cord that changes nothing is told, whatever the dock reads") {
    MadeSurvey made;
    made.read("dock earth", unplugged, -600);
    made.read("main bus", unplugged, -820);
    made.read("main bus", plugged, -811);
    CHECK(made.assessed().shore.at(0).plugging == Plugging::unchanged);
    made.survey.entries.back().potential_mv = -810;
    CHECK(made.assessed().shore.at(0).plugging == Plugging::between);
}

TEST_CASE("anodes shift by 200 mV at least, and without them there is no verdict") {
    MadeSurvey made;
    made.read("main bus", unplugged, -550);
    made.read("main bus", anodes_off, -350);
    SurveyAssessment found = made.assessed();
    CHECK(found.anodes.at(0).shift_mv() == -200);
    CHECK(found.anodes.at(0).enough);
    CHECK(at(found, "main bus", anodes_off).judgement.verdict == Verdict::no_verdict);
    made.survey.entries.back().potential_mv = -351;
    found = made.assessed();
    CHECK_FALSE(found.anodes.at(0).enough);
}

TEST_CASE("a reference instrument is compared with the reading it stands beside") {
    MadeSurvey made;
    made.read("rudder", unplugged, -860);
    made.read("rudder", unplugged, -870);
    made.add(EntryKind::reference, "rudder", unplugged, -869, 2);
    const SurveyAssessment found = made.assessed();
    REQUIRE(found.references.size() == 1);
    CHECK(found.references[0].reading_mv == -870);
    CHECK(found.references[0].reference_mv == -869);
    made.add(EntryKind::strike, "rudder", unplugged, 0, 2);
    CHECK(made.assessed().references.empty());
}

TEST_CASE("with a rejected cell nothing is judged") {
    MadeSurvey made;
    made.read("main bus", unplugged, -870);
    made.cell_rejected = true;
    const Judgement judgement = at(made.assessed(), "main bus").judgement;
    CHECK(judgement.verdict == Verdict::no_verdict);
    CHECK(judgement.reasons.front() == "the reference cell was rejected");
}

TEST_CASE("a reading that AC ended stands for nothing until one has settled or somebody insists") {
    MadeSurvey made;
    SurveyEntry& hull = made.read("main bus", unplugged, -700);
    hull.settled = false;
    hull.ac_mv = 60; // the rule of practice stops at 50 mV rms
    made.read("rudder", unplugged, -870);
    SurveyAssessment found = made.assessed();
    CHECK(at(found, "main bus").ended_by_ac);
    CHECK(at(found, "main bus").judgement.verdict == Verdict::no_verdict);
    CHECK(at(found, "main bus").judgement.reasons.front().find("repeat it") != std::string::npos);
    CHECK(at(found, "rudder").bond == Bond::not_compared);
    // Repeated when the AC had gone.
    made.read("main bus", unplugged, -871);
    found = made.assessed();
    CHECK(at(found, "main bus").potential_mv == -871);
    CHECK(at(found, "rudder").off_hull_mv == 1);
    // Somebody insisted, without AC: it is told, and it serves.
    made.survey.entries[2].settled = false;
    CHECK(at(made.assessed(), "rudder").bond == Bond::same);
}

TEST_CASE("what was typed in has no spread, and repeats of it have their own") {
    MadeSurvey made;
    made.read("rudder", unplugged, -860);
    CHECK_FALSE(at(made.assessed(), "rudder").spread_mv);
    made.read("rudder", unplugged, -863);
    CHECK(at(made.assessed(), "rudder").spread_mv == 3);
}
