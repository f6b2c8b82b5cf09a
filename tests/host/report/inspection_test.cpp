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
