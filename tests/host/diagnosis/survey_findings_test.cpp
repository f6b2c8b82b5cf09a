#include "diagnosis/survey_findings.h"

#include "../survey/made_survey.h"

#include "diagnosis/survey_steps.h"
#include "diagnosis/survey_words.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <stdexcept>

using namespace quaycell;

namespace {

/// Id and point, in order; without the remark that nobody compared the cell.
std::vector<std::string> told(const MadeSurvey& made, const CellBeforeAfter& cell = {}) {
    std::vector<std::string> ids;
    for (const SurveyFinding& finding : made.findings(cell))
        if (finding.id != "cell-not-compared")
            ids.push_back(std::string(finding.id) +
                          (finding.point.empty() ? "" : " " + finding.point));
    return ids;
}

using Ids = std::vector<std::string>;

MadeSurvey bonded_boat() {
    MadeSurvey made;
    made.read("main bus", unplugged, -870);
    made.read("rudder", unplugged, -869);
    return made;
}

} // namespace

TEST_CASE("a boat whose fittings agree gives nothing to say but that nobody compared the cell") {
    const auto findings = bonded_boat().findings();
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].id == "cell-not-compared");
}

TEST_CASE("a bonded bronze at its free potential is unbonded, elsewhere its bond is bad") {
    // Bronzes and brasses lie at -400 to -180 mV in flowing sea water (galvanic series).
    MadeSurvey made = bonded_boat();
    SurveyEntry& cock = made.read("sea cock", unplugged, -260);
    CHECK(told(made) == Ids{"unbonded-metal sea cock"});
    CHECK(made.findings()[0].what.find("610 mV less negative than the hull") != std::string::npos);
    cock.potential_mv = -640;
    CHECK(told(made) == Ids{"bond-broken sea cock"});
    CHECK(made.findings()[0].source.find("5 mV") != std::string::npos);
    made.survey.cell_travel = CellTravel::moved;
    CHECK(made.findings()[0].source.find("50 mV") != std::string::npos);
    CHECK(made.findings()[0].source.find("p. 112") != std::string::npos);
    cock.potential_mv = -960;
    CHECK(told(made) == Ids{"more-negative-than-hull sea cock"});
}

TEST_CASE("an unbonded bronze at its free potential is as it should be, one at the hull's is not") {
    MadeSurvey made = bonded_boat();
    SurveyEntry& tube = made.read("stern tube", unplugged, -260);
    CHECK(told(made).empty());
    tube.potential_mv = -868;
    CHECK(told(made) == Ids{"unbonded-protected stern tube"});
}

TEST_CASE("no change by the cord is a hazard and comes before what the metal shows") {
    MadeSurvey made = bonded_boat();
    made.read("sea cock", unplugged, -260);
    made.read("main bus", plugged, -868);
    const auto findings = made.findings();
    CHECK(findings[0].id == "open-earth");
    CHECK(findings[0].what.find("protective earth is open, which is a hazard") !=
          std::string::npos);
    CHECK(findings[0].caution.find("Never lift, cut or bypass the protective earth") !=
          std::string::npos);
}

TEST_CASE("what the cord moves is told by its direction, and when it goes past the dock's earth") {
    MadeSurvey made = bonded_boat();
    SurveyEntry& in = made.read("main bus", plugged, -750);
    CHECK(told(made) == Ids{"shore-shares main bus"});
    in.potential_mv = -950;
    CHECK(told(made) == Ids{"shore-feeds main bus"});
    made.read("dock earth", plugged, -600);
    CHECK(told(made) == Ids{"shore-outside main bus", "shore-feeds main bus"});
}

TEST_CASE("an earth of a dock outside -800 to -400 mV is told") {
    MadeSurvey made = bonded_boat();
    SurveyEntry& dock = made.read("dock earth", unplugged, -400);
    CHECK(told(made).empty());
    dock.potential_mv = -399;
    CHECK(told(made) == Ids{"dock-earth-odd"});
    dock.potential_mv = -801;
    CHECK(told(made) == Ids{"dock-earth-odd"});
}

TEST_CASE("a dock's earth is held against its limits on the scale that they are stated on") {
    // A zinc in sea water lies at -1030 mV on agcl/seawater (-1000 to -1050: from memory), so that
    // +300 mV against it is about -730 mV and +700 mV about -330 mV.
    MadeSurvey made;
    made.survey.cell_scale = Scale::zinc;
    made.read("main bus", unplugged, 160);
    SurveyEntry& dock = made.read("dock earth", unplugged, 300);
    CHECK(std::ranges::count(told(made), "dock-earth-odd") == 0);
    dock.potential_mv = 700;
    CHECK(std::ranges::count(told(made), "dock-earth-odd") == 1);
}

TEST_CASE("AC above the level comes first and keeps everybody out of the water") {
    MadeSurvey made = bonded_boat();
    made.survey.entries[1].ac_mv = 50;
    CHECK(told(made).empty());
    made.survey.entries[1].ac_mv = 51;
    const SurveyFinding finding = made.findings()[0];
    CHECK(finding.id == "ac");
    CHECK(finding.caution.starts_with("Nobody goes into the water"));
    CHECK(finding.test.find("electrician") != std::string::npos);
    CHECK(finding.status == "our judgement");
    CHECK(finding.source.starts_with("an electrician comes before anything else where a metal "
                                     "carries more AC than 50 mV rms"));
}

TEST_CASE("AC above the level stays a hazard when its reading is struck") {
    MadeSurvey made = bonded_boat();
    made.survey.entries[1].ac_mv = 480;
    made.add(EntryKind::strike, "rudder", unplugged, 0, 2);
    REQUIRE_FALSE(made.findings().empty());
    CHECK(made.findings()[0].id == "ac");
    CHECK(made.findings()[0].point == "rudder");
}

TEST_CASE("swapped leads, weak anodes, a thin meter, a reading in haste and no hull are all told") {
    MadeSurvey made;
    made.read("rudder", unplugged, 869).settled = false;
    made.read("main bus", plugged, -550);
    made.read("main bus", {ShoreCord::plugged, Anodes::disconnected}, -400);
    made.survey.input_resistance_mohm = 1;
    made.read("sea cock", unplugged, -500);
    CHECK(told(made) == Ids{"reversed-lead rudder", "anodes-weak main bus", "low-input-resistance",
                            "not-settled rudder", "no-hull-reading"});
    made.survey.input_resistance_mohm = 10;
    CHECK(std::ranges::count(told(made), "low-input-resistance") == 0);
}

TEST_CASE("a finished survey tells the points that nobody read, an unfinished one not yet") {
    MadeSurvey made = bonded_boat();
    made.add(EntryKind::skip, "sea cock", unplugged);
    CHECK(told(made).empty());
    made.add(EntryKind::finish, "", unplugged);
    CHECK(told(made) == Ids{"not-read stern tube"});
}

TEST_CASE("two instruments at one fitting may differ by 10 mV") {
    MadeSurvey made = bonded_boat();
    SurveyEntry& beside = made.add(EntryKind::reference, "rudder", unplugged, -879, 2);
    CHECK(told(made).empty());
    beside.potential_mv = -880;
    CHECK(told(made) == Ids{"references-differ rudder"});
}

TEST_CASE("a cell is told when it is rejected, has drifted, or was compared once only") {
    const MadeSurvey made = bonded_boat();
    const auto cell = [](double mv) { return compare_cells(mv).value(); };
    CHECK(made.findings({cell(1), cell(-3)}).empty());
    CHECK(made.findings({cell(3), cell(-3)}).at(0).id == "cell-drifted");
    CHECK(made.findings({cell(1), cell(14)}).at(0).id == "cell-rejected");
    CHECK(made.findings({cell(1), {}}).at(0).id == "cell-not-compared");
    CHECK(made.findings({cell(1), {}}).at(0).what.find("compared before the survey only.") !=
          std::string::npos);
    CHECK(made.findings({{}, cell(1)}).at(0).what.find("compared after the survey only.") !=
          std::string::npos);
    CHECK(made.findings().at(0).what.find("Nobody compared the cell before the survey or") == 0);
}

TEST_CASE("each step at a powered dock says what to beware of, and with what behind it") {
    for (const SurveyStep step :
         {SurveyStep::begin, SurveyStep::unplug, SurveyStep::plug_in, SurveyStep::disconnect_anodes,
          SurveyStep::connect_anodes, SurveyStep::dock_earth, SurveyStep::ac_seen})
        CHECK(std::ranges::any_of(survey_step_words(), [&](const StepWords& words) {
            return words.step == step && !words.caution.empty();
        }));
    // A computer on the mains bonds the hull to the shore's earth, plugged in or not.
    for (const SurveyStep step : {SurveyStep::begin, SurveyStep::unplug, SurveyStep::plug_in})
        CHECK(std::ranges::any_of(words_at(step), [](const std::string& text) {
            return text.find("on its battery") != std::string::npos;
        }));
    // What could kill is read before the hand is on the plug.
    CHECK(words_at(SurveyStep::unplug).front().find("protective earth") != std::string::npos);
    CHECK(words_at(SurveyStep::unplug).back().starts_with("Switch the boat's loads off"));
    CHECK(words_at(SurveyStep::plug_in).front().starts_with("Nobody in the water"));
    CHECK(words_at(SurveyStep::dock_earth).front().find("can kill") != std::string::npos);
    for (const StepWords& words : survey_step_words()) {
        CHECK_FALSE(words.source.empty());
        CHECK_FALSE(words.status.empty());
    }
    CHECK_THROWS_AS(survey_words("no such finding"), std::logic_error);
}
