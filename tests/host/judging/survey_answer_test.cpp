#include "judging/survey_answer.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("an empty line and a number are readings, a word may be shortened") {
    CHECK(survey_answer("")->word == SurveyWord::read);
    CHECK(survey_answer("-870")->word == SurveyWord::read);
    CHECK(survey_answer("-0.87V 12")->rest == "-0.87V 12");
    CHECK(survey_answer(".87V")->word == SurveyWord::read);
    CHECK(survey_answer("\u2212870")->word == SurveyWord::read); // as a page prints it
    CHECK(survey_answer("sk no way in")->word == SurveyWord::skip);
    CHECK(survey_answer("skip   no way in")->rest == "no way in");
    CHECK(survey_answer("anodes-of")->word == SurveyWord::anodes_off);
    CHECK(survey_answer("?")->word == SurveyWord::help);
    CHECK(survey_answer("f")->word == SurveyWord::finish);
}

TEST_CASE("a multimeter's DC and AC are typed one behind the other, a point with its metal") {
    CHECK(typed_reading("-0.87V")->potential_mv == doctest::Approx(-870));
    CHECK_FALSE(typed_reading("-870")->ac_mv);
    CHECK(typed_reading("-870  1.2")->ac_mv == doctest::Approx(1.2));
    CHECK(typed_reading("-0.87 V")->potential_mv == doctest::Approx(-870));
    CHECK_FALSE(typed_reading("-0.87 V")->ac_mv);
    CHECK(typed_reading("\u2212870 mV 12 mV")->potential_mv == doctest::Approx(-870));
    CHECK(typed_reading("-870 mV 12 mV")->ac_mv == doctest::Approx(12));
    CHECK(typed_reading("-870 0.1 V")->ac_mv == doctest::Approx(100));
    CHECK_FALSE(typed_reading("-870 1 2"));
    CHECK_FALSE(typed_reading("V"));
    CHECK_FALSE(typed_reading("-0.87"));
    CHECK_FALSE(typed_reading("-870 -3"));
    CHECK_FALSE(typed_reading("-870 much"));
    CHECK(typed_point("keel bolt=mild-steel")->metal == "mild-steel");
    CHECK(typed_point("a=b=copper-alloy")->name == "a=b");
    CHECK(typed_point("rudder")->metal.empty());
    CHECK_FALSE(typed_point("x=gold"));
    CHECK_FALSE(typed_point("=copper-alloy"));
}

TEST_CASE("blanks before and behind what is typed are of no meaning") {
    for (const char* const typed : {"-870 ", " -870", "\t-870 \r"}) {
        const auto answer = survey_answer(typed);
        REQUIRE(answer);
        CHECK(answer->word == SurveyWord::read);
        CHECK(answer->rest == "-870");
        CHECK(typed_reading(answer->rest)->potential_mv == doctest::Approx(-870));
    }
    CHECK(survey_answer("  ")->word == SurveyWord::read);
    CHECK(survey_answer("  ")->rest.empty());
    CHECK(survey_answer(" finish ")->word == SurveyWord::finish);
    CHECK(survey_answer("note loose nut  ")->rest == "loose nut");
}

TEST_CASE("a word that is none, two at once, or lacks what stands behind it is asked for again") {
    const auto refused = [](const char* line) {
        const auto answer = survey_answer(line);
        REQUIRE_FALSE(answer);
        CHECK(answer.error().code == ErrorCode::wrong_usage);
        return answer.error().what;
    };
    CHECK(refused("leap") == "\"leap\" is no word of a survey");
    CHECK(refused("p") == "\"p\" may be photo, plug");
    CHECK(refused("skip") == "skip needs WHY");
    CHECK(refused("skip  ") == "skip needs WHY");
    CHECK(refused("back there") == "nothing stands behind back");
}

TEST_CASE("the help names every word once") {
    const std::string help = survey_help();
    for (const char* word : {"  skip WHY", "  reference V", "  dock ", "  finish ", "  unplug "})
        CHECK(help.find(word) != std::string::npos);
}
