#include "judging/json_text.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>
#include <limits>

using namespace quaycell;
namespace json = boost::json;

TEST_CASE("numbers are written plainly, not in powers of ten") {
    CHECK(to_line(json::value(-870.0)) == "-870\n");
    CHECK(to_line(json::value(0.125)) == "0.125\n");
    CHECK(to_line(json::value(60480)) == "60480\n");
}

TEST_CASE("keys keep their order and texts are escaped") {
    const json::value value{{"verdict", "a \"quote\""}, {"and", nullptr}, {"list", {1, 2}}};
    CHECK(to_line(value) == "{\"verdict\":\"a \\\"quote\\\"\",\"and\":null,\"list\":[1,2]}\n");
    CHECK(to_document(value) == "{\n  \"verdict\": \"a \\\"quote\\\"\",\n  \"and\": null,\n"
                                "  \"list\": [\n    1,\n    2\n  ]\n}\n");
    CHECK(to_document(json::object{}) == "{}\n");
}

TEST_CASE("rounding gives no minus zero, and null for what is not a number") {
    CHECK(rounded(-870.04, 1) == json::value(-870.0));
    CHECK(to_line(rounded(-0.01, 1)) == "0\n");
    CHECK(rounded(std::numeric_limits<double>::quiet_NaN(), 1).is_null());
    CHECK(rounded(std::numeric_limits<double>::infinity(), 1).is_null());
}
