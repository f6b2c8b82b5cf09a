#include "judging/trace_json.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>

using namespace quaycell;
namespace json = boost::json;

namespace {

Trace two_readings() {
    Trace trace;
    trace.name = "=HYPERLINK(\"x\") \\ \x01";
    trace.time = {parse_instant("2026-05-04T06:00:00Z").value(),
                  parse_instant("2026-05-04T06:00:00.250Z").value()};
    trace.potential_mv = {-1000.1234, missing_value};
    trace.cell_scale = Scale::agcl_open;
    trace.joints = {{1, "deployment 2"}};
    return trace;
}

} // namespace

TEST_CASE("readings come out under the names of the CSV, null where there is none") {
    const std::vector<double> standard_mv{-995.5, missing_value};
    const std::string text =
        trace_json(two_readings(), standard_mv, {"12 degC"}, {"one \"remark\""});
    const json::value document = json::parse(text);
    CHECK(document.at("name").as_string() == two_readings().name);
    CHECK(document.at("cell_scale").as_string() == "agcl/open");
    CHECK(document.at("standard_scale").as_string() == "agcl/seawater");
    CHECK(document.at("assumed").at(0).as_string() == "12 degC");
    CHECK(document.at("remarks").at(0).as_string() == "one \"remark\"");
    CHECK(document.at("joints").at(0).at("time").as_string() == "2026-05-04T06:00:00.250Z");
    const json::array& readings = document.at("readings").as_array();
    REQUIRE(readings.size() == 2);
    CHECK(readings[0].at("time").as_string() == "2026-05-04T06:00:00Z");
    CHECK(readings[0].at("potential_mv").to_number<double>() == -1000.123);
    CHECK(readings[0].at("standard_mv").to_number<double>() == -995.5);
    CHECK(readings[1].at("potential_mv").is_null());
    CHECK(readings[1].at("standard_mv").is_null());
    CHECK_FALSE(readings[0].as_object().contains("ac_mv"));
}

TEST_CASE("every reading has its line, and a trace of none is a document too") {
    const std::vector<double> standard_mv{-995.5, missing_value};
    const std::string text = trace_json(two_readings(), standard_mv, {}, {});
    CHECK(text.find("\n    {\"time\":\"2026-05-04T06:00:00Z\"") != std::string::npos);
    CHECK(text.ends_with("\n  ]\n}\n"));
    const json::value none = json::parse(trace_json(Trace{}, {}, {}, {}));
    CHECK(none.at("readings").as_array().empty());
    CHECK(none.at("cell_scale").is_null());
}
