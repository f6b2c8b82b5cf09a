#include "dossier/survey_comparison.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace quaycell;

namespace {

constexpr const char* entries =
    R"([{"number":1,"kind":"reading","potential_mv":-870},{"number":2,"kind":"finish"}])";

std::string survey(const std::string& listed_entries, const std::string& boat = "Tern",
                   const std::string& loggers = "[]") {
    return fmt::format(R"({{"survey":{{"number":1,"boat":"{}"}},"loggers":{},)"
                       R"("points":[{{"name":"main bus"}}],"entries":{}}})",
                       boat, loggers, listed_entries);
}

} // namespace

TEST_CASE("the same survey, however it is set, agrees") {
    CHECK(
        first_difference_of_surveys(survey(entries), fmt::format(" {}", survey(entries))).empty());
}

TEST_CASE("the first difference between two surveys is named") {
    CHECK(first_difference_of_surveys(survey(entries), survey(entries, "Wren")) ==
          "its beginning: boat is \"Tern\" here, \"Wren\" in the archive");
    CHECK(
        first_difference_of_surveys(survey(entries), survey(R"([{"number":2,"kind":"finish"}])")) ==
        "entry 1 is not in the archive");
    CHECK(
        first_difference_of_surveys(survey(R"([{"number":2,"kind":"finish"}])"), survey(entries)) ==
        "entry 1 is in the archive, and not here");
    CHECK(first_difference_of_surveys(
              survey(entries), survey(R"([{"number":1,"kind":"reading","potential_mv":-970},)"
                                      R"({"number":2,"kind":"finish"}])")) ==
          "entry 1: potential_mv is -870 here, -970 in the archive");
    CHECK(first_difference_of_surveys(
              survey(R"([{"number":1,"kind":"reading","potential_mv":-870},)"
                     R"({"number":1,"kind":"reading","potential_mv":-870},)"
                     R"({"number":2,"kind":"finish"}])"),
              survey(entries)) == "entry 1 stands here twice, or in another order");
    CHECK(first_difference_of_surveys(
              survey(R"([{"number":2,"kind":"finish"},)"
                     R"({"number":1,"kind":"reading","potential_mv":-870}])"),
              survey(entries)) == "entry 2 stands here twice, or in another order");
    CHECK(first_difference_of_surveys(survey(entries), survey(entries, "Tern", "[1]")) ==
          "the calibrations of its logger are others in the archive");
}

TEST_CASE("a survey that cannot be read is a difference") {
    CHECK(first_difference_of_surveys("{", survey(entries)).find("it cannot be read") == 0);
    CHECK(first_difference_of_surveys(survey(entries), "{}").find("it cannot be read") == 0);
}
