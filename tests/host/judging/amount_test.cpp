#include "judging/amount.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

} // namespace

TEST_CASE("an amount is one number, or two with a dash between") {
    CHECK(amount_from("15", "--x")->low == 15);
    CHECK(amount_from("15", "--x")->high == 15);
    CHECK(amount_from("15-25", "--x")->high == 25);
    CHECK(amount_from("1e-3-2e-3", "--x")->low == 0.001);
    CHECK(amount_from("1e-3-2e-3", "--x")->high == 0.002);
    CHECK(amount_from("0", "--x")->high == 0);
}

TEST_CASE("what is no amount is refused with the option's name") {
    for (const char* typed :
         {"", "a lot", "-5", "25-15", "1-", "-", "nan", "inf", "1,5", "15-25-35"}) {
        const auto refused = amount_from(typed, "--years");
        REQUIRE_MESSAGE(!refused, typed);
        CHECK(refused.error().code == ErrorCode::wrong_usage);
        CHECK(refused.error().where == "--years");
        CHECK_FALSE(refused.error().remedy.empty());
    }
}

TEST_CASE("an amount is told by its digits, and one without an end as at least") {
    CHECK(amount_text({15, 15}) == "15.0");
    CHECK(amount_text({15, 25}, 2) == "15 to 25");
    CHECK(amount_text({0.1234, 0.1234}, 2) == "0.12");
    CHECK(amount_text({22.54, infinite}, 2) == "23 or more");
    CHECK(amount_text({0, 0}) == "0");
}

TEST_CASE("an amount is a number in JSON, or its limits, and null what nobody knows") {
    CHECK(amount_json({15, 15}) == boost::json::value(15.0));
    CHECK(amount_json({15, 25}).at("high") == boost::json::value(25.0));
    CHECK(amount_json({15, infinite}).at("low") == boost::json::value(15.0));
    CHECK(amount_json({15, infinite}).at("high").is_null());
}

TEST_CASE("three measures make a box") {
    CHECK(*box_m3_from("0.5x0.2x0.1", "--size-m") == doctest::Approx(0.01));
    for (const char* typed :
         {"", "0.5", "0.5x0.2", "0.5x0.2x0", "0.5x0.2x0.1x1", "0.5x0.2x", "axbxc"}) {
        const auto refused = box_m3_from(typed, "--size-m");
        REQUIRE_MESSAGE(!refused, typed);
        CHECK(refused.error().where == "--size-m");
    }
}
