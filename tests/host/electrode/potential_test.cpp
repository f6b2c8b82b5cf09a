#include "electrode/potential.h"

#include <cmath>
#include <doctest/doctest.h>
#include <string>

using namespace quaycell;

TEST_CASE("A potential is read in millivolts unless it says volts") {
    CHECK(*parse_potential_mv("-870") == -870);
    CHECK(*parse_potential_mv("-870mV") == -870);
    CHECK(*parse_potential_mv("-870 mV") == -870);
    CHECK(*parse_potential_mv("-0.87V") == doctest::Approx(-870));
    CHECK(*parse_potential_mv("-0.87 V") == doctest::Approx(-870));
    CHECK(*parse_potential_mv("-870mv") == -870);
    CHECK(*parse_potential_mv("-.87v") == doctest::Approx(-870));
    CHECK(*parse_potential_mv("\u2212870 mV") == -870); // the minus sign of a book
    CHECK(*parse_potential_mv("+250") == 250);
    CHECK_FALSE(std::signbit(*parse_potential_mv("-0")));
    CHECK(*parse_potential_mv("0") == 0);
}

TEST_CASE("What is not a potential is refused and quoted") {
    for (const char* text :
         {"", "mV", "V", "abc", "-870x", "-870 mV mV", "--870", "+-870", "-0,87V", "nan", "inf",
          "-inf", "1e999", "0x10", "-870 m", "\u2212\u2212870"}) {
        INFO(text);
        const auto potential = parse_potential_mv(text);
        REQUIRE_FALSE(potential);
        CHECK(potential.error().code == ErrorCode::wrong_usage);
        CHECK(potential.error().what.find('"' + std::string(text) + '"') == 0);
        CHECK(potential.error().remedy == "Write it as -870, -870mV or -0.87V");
    }
}

TEST_CASE("More than five volts is refused, five is not") {
    CHECK(parse_potential_mv("-5000"));
    CHECK(parse_potential_mv("5V"));
    CHECK_FALSE(parse_potential_mv("-5001"));
    CHECK_FALSE(parse_potential_mv("-870V"));
}

TEST_CASE("A bare number between -2 and 2 looks like volts") {
    CHECK(looks_like_volts(-0.87));
    CHECK(looks_like_volts(1.99));
    CHECK_FALSE(looks_like_volts(0));
    CHECK_FALSE(looks_like_volts(-2));
    CHECK_FALSE(looks_like_volts(-870));
}
