#include "protection/criterion.h"

#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

namespace {

const std::string steel_row = "[[criterion]]\n"            // line 1
                              "id = \"x\"\n"               // 2
                              "subject = \"steel\"\n"      // 3
                              "kind = \"absolute\"\n"      // 4
                              "protected_from_mv = -850\n" // 5
                              "over_at_mv = -1100.5\n"     // 6
                              "scale = \"cse\"\n"          // 7
                              "salinity_min_psu = 5\n"     // 8
                              "salinity_max_psu = 42\n"    // 9
                              "oxygen = \"any\"\n"         // 10
                              "source = \"a book\"\n"      // 11
                              "status = \"read\"\n"        // 12
                              "rule_set = \"own\"\n";      // 13

std::string with(const std::string& from, const std::string& to) {
    std::string text = steel_row;
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

Error refusal(const std::string& toml) {
    const auto criteria = parse_criteria(toml, "own.toml");
    REQUIRE_FALSE(criteria);
    CHECK(criteria.error().code == ErrorCode::wrong_input);
    return criteria.error();
}

} // namespace

TEST_CASE("A row is read with whole and broken numbers") {
    const auto criteria = parse_criteria(steel_row, "own.toml");
    REQUIRE(criteria);
    REQUIRE(criteria->size() == 1);
    const Criterion& c = criteria->front();
    CHECK(*c.protected_from_mv == -850);
    CHECK(*c.over_at_mv == -1100.5);
    CHECK(*c.scale == Scale::cse);
    CHECK(c.edition.empty());
    CHECK_FALSE(c.background);
}

TEST_CASE("An unknown key is refused with its line") {
    const Error error = refusal(with("status", "statsu"));
    CHECK(error.where == "own.toml:12");
    CHECK(error.what == "[[criterion]] statsu: no such key");
    CHECK(error.remedy.find("status, subject") != std::string::npos);
}

TEST_CASE("A missing key is refused by name") {
    CHECK(refusal(with("source = \"a book\"\n", "")).what == "[[criterion]] source: missing");
    CHECK(refusal(with("protected_from_mv = -850\n", "")).what ==
          "[[criterion]] protected_from_mv: missing");
    CHECK(refusal(with("salinity_max_psu = 42\n", "")).what ==
          "[[criterion]] salinity_max_psu: missing");
    CHECK(refusal(with("id = \"x\"\n", "")).where == "own.toml:1");
}

TEST_CASE("A wrong type is refused with its line") {
    const Error text = refusal(with("-850", "\"-850\""));
    CHECK(text.where == "own.toml:5");
    CHECK(text.what == "[[criterion]] protected_from_mv: one number is expected here");
    CHECK(refusal(with("\"a book\"", "12")).what ==
          "[[criterion]] source: a text in quotes is expected here");
    CHECK(refusal(steel_row + "background = 1\n").what ==
          "[[criterion]] background: true or false is expected here");
}

TEST_CASE("An unknown word is refused with the known ones") {
    const Error scale = refusal(with("\"cse\"", "\"csv\""));
    CHECK(scale.where == "own.toml:7");
    CHECK(scale.what == "[[criterion]] scale: there is no reference scale \"csv\"");
    CHECK(scale.remedy.find("agcl/seawater") != std::string::npos);
    CHECK(refusal(with("\"absolute\"", "\"relative\"")).remedy ==
          "Use one of: absolute, shift, target, limit");
    CHECK(refusal(with("\"steel\"", "\"stone\"")).what ==
          "[[criterion]] subject: \"stone\" is neither a hull nor a metal");
    CHECK(refusal(with("\"any\"", "\"some\"")).remedy == "Use one of: aerobic, anaerobic, any");
}

TEST_CASE("Impossible limits are refused") {
    CHECK(refusal(with("-1100.5", "-800")).what ==
          "[[criterion]] over_at_mv: it must be more negative than protected_from_mv");
    CHECK(refusal(with("= 42", "= 5")).what ==
          "[[criterion]] salinity_min_psu: it must be less than salinity_max_psu");
    CHECK(refusal(with("\"absolute\"", "\"shift\"")).what ==
          "[[criterion]] scale: it belongs to every kind but a shift");
    CHECK(refusal(with("-850", "nan")).what == "[[criterion]] protected_from_mv: it is not finite");
}

TEST_CASE("A row that is neither judged by nor background is refused") {
    CHECK(refusal(with("rule_set = \"own\"\n", "")).what ==
          "[[criterion]] rule_set: a row belongs to a rule_set or is background");
}

TEST_CASE("The same id twice is refused with the line of the second") {
    const Error error = refusal(steel_row + steel_row);
    CHECK(error.where == "own.toml:15");
    CHECK(error.what == "[[criterion]] id: \"x\" is there twice");
}

TEST_CASE("A text that is no TOML, and one without criteria, are refused") {
    CHECK(refusal("[[criterion\n").where.starts_with("own.toml:1:"));
    CHECK(refusal("").what == "criterion: missing");
    CHECK(refusal("criterion = 5\n").what == "criterion: a list of tables is expected here");
    CHECK(refusal("criterion = [5]\n").what == "criterion: a list of tables is expected here");
    CHECK(refusal("title = \"x\"\n" + steel_row).what == "title: no such key");
}
