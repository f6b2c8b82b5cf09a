#include "judging/json_fields.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>
#include <exception>

using namespace quaycell;
namespace json = boost::json;

TEST_CASE("an instant is kept to the millisecond, before 1970, too") {
    CHECK(ms_of(*parse_instant("1970-01-02T00:00:00.250Z")) == 86'400'250);
    CHECK(instant_of(json::value(-1)) == *parse_instant("1969-12-31T23:59:59.999Z"));
}

TEST_CASE("what is of another kind is told by throwing, as in the rest of a document") {
    CHECK_THROWS_AS(instant_of(json::value("noon")), std::exception);
    CHECK_THROWS_AS(instant_of(json::value(0.5)), std::exception);
    CHECK_THROWS_AS(text_of(json::value(1)), std::exception);
    CHECK(text_of(json::value("boat")) == "boat");
}
