#include "judging/survey_walk.h"

#include "a_folder.h"
#include "judging/survey_start.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using quaycell::test::AFolder;

namespace {

/// Two points read with a multimeter, in an archive of its own.
struct Walked {
    Walked() { walk.begin().value(); }

    static SurveyStart of_a_steel_hull() {
        SurveyStart start;
        start.boat.hull = "steel";
        start.multimeter = "invented meter";
        start.cell_travel = "moved";
        start.points = {"rudder=stainless-austenitic"};
        return start;
    }

    static KeptSurvey begun(const SurveyStart& start, Archive& archive, const std::string& file) {
        return begin_survey(start, {}, archive, file).value();
    }

    Result<Talk> type(std::string_view line) { return walk.act(survey_answer(line).value()); }

    std::string at() const { return walk.at() == nullptr ? "" : walk.at()->name; }

    AFolder folder{"survey_walk"};
    std::string file = folder.at("a.quaycell");
    Archive archive = Archive::open(file, OpenMode::write_create).value();
    SurveyStart start = of_a_steel_hull();
    SurveyWalk walk{begun(start, archive, file),
                    {archive, start.boat, false, SurveyState{}, "who"}};
};

bool cautions(const Talk& talk, std::string_view word) {
    return std::ranges::any_of(talk, [&](const Said& each) {
        return each.is_caution && each.text.find(word) != std::string::npos;
    });
}

} // namespace

TEST_CASE("whoever says something is told that it is kept, and beside what") {
    Walked walked;
    CHECK(walked.type("note loose nut")->at(0).text == "main bonding: note kept");
    CHECK(walked.type("photo nut.jpg")->at(0).text == "main bonding: photo kept");
    CHECK(walked.type("-870"));
    CHECK(walked.type("reference -0.8695V")->at(0).text ==
          "main bonding: reference -869.5 mV beside -870.0 mV of entry 3");
    CHECK(walked.type("strike hand slipped")->at(0).text == "main bonding: entry 3 struck");
    CHECK(walked.type("skip no way in"));
    CHECK(walked.type("skip nor here"));
    CHECK(walked.type("note done for today")->at(0).text == "all of the boat: note kept");
}

TEST_CASE("what is no voltage between two cells is told as that") {
    Walked walked;
    const auto wrong = walked.type("check x");
    REQUIRE_FALSE(wrong);
    CHECK(wrong.error().code == ErrorCode::wrong_usage);
    CHECK(wrong.error().what == "\"x\" is no voltage between two cells");
}

TEST_CASE("a walk begins at the bonding, goes on with each reading and ends with the last point") {
    Walked walked;
    CHECK(walked.at() == "main bonding");
    CHECK(walked.type("-870"));
    CHECK(walked.at() == "rudder");
    CHECK(walked.type("-868"));
    CHECK(walked.at().empty());
    CHECK(walked.type("-868").error().code == ErrorCode::wrong_usage);
    CHECK_FALSE(walked.walk.is_over());
    CHECK(walked.type("finish"));
    CHECK(walked.walk.is_over());
    CHECK(is_finished(walked.walk.kept().survey));
}

TEST_CASE("what was read is in the archive before anything is said of it") {
    Walked walked;
    CHECK(walked.type("-870"));
    auto reader = Archive::open(walked.file, OpenMode::read).value();
    const auto kept = load_survey(reader, 0, walked.file);
    REQUIRE(kept);
    REQUIRE(kept->survey.entries.size() == 1);
    CHECK(kept->survey.entries[0].potential_mv == -870);
    CHECK(kept->survey.entries[0].point == "main bonding");
}

TEST_CASE("what cannot be done changes nothing and says why") {
    Walked walked;
    for (const char* line : {"870V0", "go nowhere", "strike typing error", "add main bonding"}) {
        const auto done = walked.type(line);
        REQUIRE_FALSE(done);
        CHECK(done.error().code == ErrorCode::wrong_usage);
    }
    CHECK(walked.walk.kept().survey.entries.empty());
    CHECK(walked.at() == "main bonding");
}

TEST_CASE("too much AC ends the walk, and nobody is told to go on") {
    Walked walked;
    const auto talk = walked.type("-870 400");
    REQUIRE(talk);
    CHECK(cautions(*talk, "water"));
    REQUIRE(walked.walk.stopped());
    CHECK(walked.walk.is_over());
    CHECK(walked.walk.stopped()->what.find("400 mV rms") != std::string::npos);
    CHECK(walked.walk.stopped()->remedy.find("electrician") != std::string::npos);
}

TEST_CASE("AC that a logger saw before there was a reading ends it, too, and is kept") {
    Walked walked;
    REQUIRE(walked.walk.take(PointSeen{std::nullopt, 300}));
    CHECK(walked.walk.stopped());
    REQUIRE(walked.walk.kept().survey.entries.size() == 1);
    CHECK(walked.walk.kept().survey.entries[0].ac_mv == 300);
}

TEST_CASE("unplugging begins another pass, with its caution") {
    Walked walked;
    CHECK(walked.type("-870"));
    CHECK(walked.type("-868"));
    const auto talk = walked.type("plug");
    REQUIRE(talk);
    CHECK(talk->front().is_caution); // before how it is done
    CHECK(cautions(*talk, "Nobody in the water"));
    CHECK(walked.walk.state().shore == ShoreCord::unplugged);
    CHECK(walked.walk.asked()->shore == ShoreCord::plugged);
    REQUIRE(walked.type("done"));
    CHECK_FALSE(walked.walk.asked());
    CHECK(walked.at() == "main bonding");
    CHECK(walked.walk.state().shore == ShoreCord::plugged);
    const auto off = walked.type("unplug");
    REQUIRE(off);
    CHECK(cautions(*off, "protective earth"));
}

TEST_CASE("what is not done to the boat is not kept, and nothing is read while it may be") {
    Walked walked;
    REQUIRE(walked.type("anodes-off"));
    CHECK(walked.walk.kept().survey.entries.empty());
    for (const char* line : {"-870", "", "plug", "finish", "skip no way in"}) {
        const auto refused = walked.type(line);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().what.find("anodes disconnected") != std::string::npos);
    }
    CHECK(walked.walk.why_not_read());
    CHECK(walked.type("note where the lead is"));
    REQUIRE(walked.type("cancel"));
    CHECK(walked.walk.state() == SurveyState{});
    CHECK(walked.type("-870"));
    CHECK(walked.type("done").error().code == ErrorCode::wrong_usage);
    CHECK(walked.type("anodes-on").error().what.find("so already") != std::string::npos);
}

TEST_CASE("a typed reading has no spread, and one next to nothing is doubted at once") {
    Walked walked;
    const auto talk = walked.type("-2");
    REQUIRE(talk);
    const auto says = [&](std::string_view word) {
        return std::ranges::any_of(
            *talk, [&](const Said& each) { return each.text.find(word) != std::string::npos; });
    };
    CHECK(says("typed in: spread not known"));
    CHECK_FALSE(says("0.0 mV"));
    CHECK(says("next to nothing"));
    CHECK_FALSE(walked.walk.kept().survey.entries.front().spread_mv);
}

TEST_CASE("a word that belongs to a reading says so where nothing is read") {
    for (const char* word : {"!", "x"}) {
        const auto answer = survey_answer(word);
        REQUIRE_FALSE(answer);
        CHECK(answer.error().remedy.find("Enter begins a reading") == 0);
    }
}
