#include "report/inspection.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("what is told is kept, what is not is empty") {
    const auto said = parse_inspection("[inspection]\ndate = 2026-05-12\nprepared_by = \"Ada "
                                       "Invented\"\ncell_hung = \"1 m down, amidships\"\n",
                                       "visit.toml");
    REQUIRE(said);
    CHECK(said->date == "2026-05-12");
    CHECK(said->prepared_by == "Ada Invented");
    CHECK(said->cell_hung == "1 m down, amidships");
    CHECK(said->weather.empty());
}

TEST_CASE("the file to start from is one that can be read, and nothing is stated in it") {
    const auto said = parse_inspection(new_inspection_file(), "visit.toml");
    REQUIRE(said);
    CHECK(said->date.empty());
    CHECK(said->prepared_by.empty());
}

TEST_CASE("every line of the file to start from is a key once its mark is taken off") {
    std::string file = new_inspection_file();
    const std::size_t table = file.find("[inspection]");
    for (std::size_t i = file.find("\n# ", table); i != std::string::npos; i = file.find("\n# ", i))
        file.erase(i + 1, 2);
    const auto said = parse_inspection(file, "visit.toml");
    REQUIRE(said);
    CHECK(said->date == "2026-05-12");
    REQUIRE(said->instrument);
    CHECK(said->instrument->input_mohm == 10);
}

TEST_CASE("a meter is stated with what counts in its uncertainty, or not at all") {
    const std::string meter = "[inspection]\n[instrument]\nname = \"DMM, invented\"\n";
    const auto said =
        parse_inspection(meter + "accuracy_mv = 4.5\ninput_mohm = 11\n", "visit.toml");
    REQUIRE(said);
    REQUIRE(said->instrument);
    CHECK(said->instrument->name == "DMM, invented");
    CHECK(said->instrument->accuracy_mv == 4.5);
    CHECK(said->instrument->source_kohm == 10); // where nobody says
    CHECK_FALSE(parse_inspection("[inspection]\n", "visit.toml")->instrument);
    for (const char* rest :
         {"", "accuracy_mv = 4.5\n", "input_mohm = 11\n", "accuracy_mv = -1\ninput_mohm = 11\n",
          "accuracy_mv = 4.5\ninput_mohm = 0\n", "accuracy_mv = 4.5\ninput_mohm = 11\nx = 1\n"}) {
        CAPTURE(rest);
        const auto refused = parse_inspection(meter + rest, "visit.toml");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_input);
    }
}

TEST_CASE("a misspelt key is named with its line") {
    const auto said = parse_inspection("[inspection]\nprepard_by = \"Ada\"\n", "visit.toml");
    REQUIRE_FALSE(said);
    CHECK(said.error().code == ErrorCode::wrong_input);
    CHECK(said.error().where == "visit.toml:2");
    CHECK(said.error().what.find("prepard_by") != std::string::npos);
}

TEST_CASE("a file without its table, and one that is no TOML, are refused with what to do") {
    for (const char* text : {"", "prepared_by = \"Ada\"\n", "[inspection\n"}) {
        const auto said = parse_inspection(text, "visit.toml");
        REQUIRE_FALSE(said);
        CHECK(said.error().code == ErrorCode::wrong_input);
    }
}
