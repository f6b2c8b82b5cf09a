#include "dossier/report_options.h"

#include <CLI/CLI.hpp>
#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("what was said of the judgement goes along and is understood again, files do not") {
    CLI::App command;
    ReportOptions options;
    add_report_options(command, options);
    command.parse(
        "--trace week.csv --vessel tern.toml --hull steel --baseline=-540 --salinity 31.5 "
        "--cell-checked --paper letter --output tern.pdf",
        false);
    const std::vector<std::string> said = said_options(command);
    CHECK(said == std::vector<std::string>{"--hull=steel", "--salinity=31.5", "--baseline=-540",
                                           "--cell-checked=true", "--paper=letter"});
    const auto again = parse_said_options(said, "options.json");
    REQUIRE(again);
    CHECK(again->boat.hull == "steel");
    CHECK(again->boat.baseline == "-540");
    CHECK(again->boat.cell_checked);
    CHECK(again->boat.water.salinity_psu == 31.5);
    CHECK(again->paper == "letter");
    CHECK_FALSE(again->boat.vessel_file.is_given());
}

TEST_CASE("nothing said is what nothing says") {
    const auto none = parse_said_options({}, "options.json");
    REQUIRE(none);
    CHECK(none->paper == "a4");
    CHECK(none->worst_share_percent == ReportOptions().worst_share_percent);
}

TEST_CASE("options that name files, that do not exist or cannot be meant are refused") {
    for (const char* each :
         {"--vessel=/etc/passwd", "--archive=a", "--trace=a", "--criteria=a", "--budget=a",
          "--inspection=a", "--output=a", "--deployment=1", "--uncorrected=true", "--help",
          "--no-such=1", "stray", "", "--salinity=much", "--paper=a3"}) {
        CAPTURE(each);
        const auto refused = parse_said_options({each}, "options.json");
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_input);
        CHECK(refused.error().where == "options.json");
    }
}
