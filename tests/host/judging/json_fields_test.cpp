#include "judging/json_fields.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>
#include <exception>

using namespace quaycell;
namespace json = boost::json;

TEST_CASE("an instant is kept to the millisecond") {
    CHECK(ms_of(*parse_instant("1970-01-02T00:00:00.250Z")) == 86'400'250);
    CHECK(instant_of(json::value(86'400'250)) == *parse_instant("1970-01-02T00:00:00.250Z"));
}

TEST_CASE("a time that no calendar holds is none") {
    CHECK_THROWS_AS(instant_of(json::value(-1)), std::exception);
    CHECK_THROWS_AS(instant_of(json::value(std::int64_t{9'200'000'000'000'000'000})),
                    std::exception);
}

TEST_CASE("a number is one that can be reckoned with") {
    CHECK(finite_of(json::parse("2")) == 2);
    CHECK(finite_of(json::parse("-2.5")) == -2.5);
    CHECK_THROWS_AS(finite_of(json::parse("1e999")), std::exception);
}

TEST_CASE("what is of another kind is told by throwing, as in the rest of a document") {
    CHECK_THROWS_AS(instant_of(json::value("noon")), std::exception);
    CHECK_THROWS_AS(instant_of(json::value(0.5)), std::exception);
    CHECK_THROWS_AS(text_of(json::value(1)), std::exception);
    CHECK(text_of(json::value("boat")) == "boat");
}
