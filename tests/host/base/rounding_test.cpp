#include "base/rounding.h"

#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

// JCGM 100:2008 (GUM), 7.2.2 and 7.2.6, from memory: m = 100,021 47 g with u = 0,35 mg, which has
// two digits; y = 10,057 62 ohm with u = 27 mohm is rounded to 10,058 ohm; 28,05 kHz to 28 kHz.
TEST_CASE("a value stands to the place of the second digit of its uncertainty") {
    CHECK(told_decimals(0.00035) == 5);
    CHECK(rounded_to(10.05762, told_decimals(0.027)) == doctest::Approx(10.058));
    CHECK(rounded_to(28.05, told_decimals(28.05)) == 28);
    CHECK(told_decimals(13.7) == 0);
    CHECK(told_decimals(100) == -1);
    CHECK(told_decimals(2304.5) == -2);
    CHECK(rounded_to(2304.5, told_decimals(2304.5)) == 2300);
    CHECK(rounded_text(-968.4, told_decimals(2304.5)) == "-1000");
    CHECK(rounded_text(-968.44, told_decimals_mv(5)) == "-968.4");
}

TEST_CASE("significant digits are told without an exponent") {
    CHECK(significant_text(120, 2) == "120");
    CHECK(significant_text(1234, 2) == "1200");
    CHECK(significant_text(0.0125, 2) == "0.013");
    CHECK(significant_text(99.6, 2) == "100");
    CHECK(significant_text(0, 2) == "0");
    CHECK(significant_text(1e6, 3) == "1000000");
}

TEST_CASE("an uncertainty that gains a digit by rounding has two all the same") {
    CHECK(told_decimals(9.94) == 1);
    CHECK(told_decimals(9.96) == 0);
    CHECK(told_decimals(99.6) == -1);
}

TEST_CASE("no potential is told finer than a tenth of a millivolt") {
    CHECK(told_decimals(0.012) == 3);
    CHECK(told_decimals_mv(0.012) == 1);
    CHECK(told_decimals_mv(5) == 1);
    CHECK(told_decimals_mv(14) == 0);
}

TEST_CASE("what has no known uncertainty is told to the whole number") {
    CHECK(told_decimals(0) == 0);
    CHECK(told_decimals(-1) == 0);
    CHECK(told_decimals(std::numeric_limits<double>::quiet_NaN()) == 0);
    CHECK(told_decimals(std::numeric_limits<double>::infinity()) == 0);
}
