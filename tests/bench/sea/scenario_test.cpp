#include "bench/sea/scenario.h"

#include "bench/duration.h"
#include "bench/mcu/firmware.h"
#include "bench/truth.h"

#include <doctest/doctest.h>

#include <sstream>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

const std::string calm = R"(start = 2026-05-04T08:00:00+02:00
seed = 3
[potential_mv]
base = -900
[temperature_c]
base = 12
[salinity_psu]
base = 30
)";

std::string complaint_about(const std::string& toml) {
    try {
        parse_scenario(toml, "sea.toml");
    } catch (const WrongInput& error) {
        return error.what();
    }
    return "none";
}

} // namespace

TEST_CASE("a scenario gives start, quantities and a usual logger") {
    const Scenario scenario = parse_scenario(calm, "sea.toml");
    CHECK(world_time(scenario, 0s) == "2026-05-04T06:00:00Z");
    CHECK(scenario.potential_mv.at(1h) == -900);
    CHECK(scenario.battery_mv.at(1h) == 4500);
    CHECK(scenario.logger.flash_mb == 2);
    CHECK_FALSE(scenario.logger.cell_b_offset_mv);
}

TEST_CASE("parts of every kind are read") {
    const Scenario scenario = parse_scenario(calm + R"([board_temperature_c]
base = 20
part = [
  { kind = "ramp", from = "0s", to = "2h", change = 1 },
  { kind = "tide", amplitude = 0, high_at = "1h" },
  { kind = "day", amplitude = 0, high_at = "1h" },
  { kind = "step", at = "1d", until = "2d", change = 5 },
  { kind = "noise", sigma = 0 },
]
)",
                                             "sea.toml");
    CHECK(scenario.board_temperature_c.at(1h) == doctest::Approx(20.5));
    CHECK(scenario.board_temperature_c.at(36h) == doctest::Approx(26));
}

TEST_CASE("what is wrong in a scenario is named with its line") {
    CHECK(complaint_about(calm + "[logger]\ncolour = 1\n")
              .starts_with(
                  "sea.toml:10: unknown key \"colour\" in [logger]. Known keys: calibrated, "));
    CHECK(
        complaint_about(calm + "sealevel = 2\n")
            .starts_with(
                "sea.toml:9: unknown key \"sealevel\" in [salinity_psu]. Known keys: base, part"));
    CHECK(complaint_about("start = 2026-05-04T06:00:00Z\n") ==
          "sea.toml:1: \"potential_mv\" is missing in the scenario. Add it");
    CHECK(complaint_about("start = 2026-05-04T06:00:00\n")
              .starts_with("sea.toml:1: \"start\" is not a time with its offset from UTC."));
    CHECK(complaint_about("start = \n").starts_with("sea.toml:1: "));
    CHECK(complaint_about(calm + "part = [ { kind = \"wave\" } ]\n")
              .starts_with("sea.toml:9: unknown kind of part \"wave\". Known kinds: ramp, tide, "
                           "day, step, noise"));
    CHECK(
        complaint_about(calm + "part = [ { kind = \"day\", amplitude = 1, high_at = \"soon\" } ]\n")
            .starts_with("sea.toml:9: \"high_at\" is not a length of time: \"soon\"."));
    CHECK(
        complaint_about(calm + "part = [ { kind = \"tide\", amplitude = 20, high_at = \"2h\" } ]\n")
            .starts_with(
                "sea.toml:7: salinity runs from 10 to 50, the cell's table covers 0.05 to 42."));
    CHECK(complaint_about(calm + "[logger]\nflash_mb = 3\n")
              .starts_with("sea.toml:10: there is no flash of that size. Use 2, 4, 8 or 16"));
    CHECK(complaint_about(calm + "[[worn_sector]]\nsector = 512\nwhat = \"erase\"\n")
              .starts_with("sea.toml:10: the flash has no such sector."));
    CHECK(
        complaint_about(calm + "[[worn_sector]]\nsector = 0\nwhat = \"read\"\n")
            .starts_with("sea.toml:11: unknown fault of a sector \"read\". Known: erase, program"));
}

TEST_CASE("a file that is not there is named") {
    CHECK_THROWS_WITH_AS(read_scenario("/nowhere/sea.toml"),
                         "/nowhere/sea.toml: cannot be read. Name a scenario file with --scenario",
                         WrongInput);
}

TEST_CASE("lengths of time are read as people write them") {
    CHECK(parse_duration("90") == Time{90s});
    CHECK(parse_duration("10min") == Time{10min});
    CHECK(parse_duration("2d6h") == Time{54h});
    CHECK(parse_duration("1.5h") == Time{90min});
    for (const char* nonsense : {"", "d", "5 d", "-1h", "3w", "1h!"})
        CHECK_FALSE(parse_duration(nonsense));
}

TEST_CASE("the truth is written as a table that a test can compare with") {
    const Scenario scenario = parse_scenario(calm, "sea.toml");
    std::ostringstream out;
    TruthTable table{out, scenario, 30s};
    table.write_until(30s);
    table.write_until(89s);
    CHECK(out.str() == "time,potential_mv,temperature_c,salinity_psu\n"
                       "2026-05-04T06:00:00Z,-900.0000,12.0000,30.0000\n"
                       "2026-05-04T06:00:30Z,-900.0000,12.0000,30.0000\n"
                       "2026-05-04T06:01:00Z,-900.0000,12.0000,30.0000\n");
}

TEST_CASE("faults of a lead are a list with times") {
    const Scenario scenario = parse_scenario(calm + R"([[lead]]
what = "clip-off"
at = "1h"
until = "2h"
[[lead]]
what = "b-open"
at = "0s"
until = "1d"
)",
                                             "sea.toml");
    REQUIRE(scenario.lead_faults.size() == 2);
    CHECK(scenario.lead_faults[0].what == LeadFault::What::clip_off);
    CHECK(scenario.lead_faults[0].until == 2h);
    CHECK(complaint_about(calm + "[[lead]]\nwhat = \"chewed\"\nat = \"0s\"\nuntil = \"1s\"\n") ==
          "sea.toml:10: unknown fault of a lead \"chewed\". Known: a-open, b-open, clip-off");
    CHECK(complaint_about(calm + "[[lead]]\nwhat = \"a-open\"\nat = \"2s\"\nuntil = \"1s\"\n") ==
          "sea.toml:9: the fault ends before it begins. Put \"at\" before \"until\"");
    CHECK(complaint_about("cable_nf = 4\n" + calm) ==
          "sea.toml:1: the cable has 0 to 3 nF. Correct the value");
}
