#include "cli/signalk_delta.h"

#include "judging/made_live.h"

#include <boost/json.hpp>
#include <map>

using namespace quaycell;
using namespace quaycell::testing;
namespace json = boost::json;

namespace {

/// Path to value of the only update.
std::map<std::string, json::value> entries(const std::string& line, const char* kind) {
    REQUIRE(line.ends_with("\r\n"));
    REQUIRE(line.find('\n') == line.size() - 1);
    const json::value message = json::parse(line);
    CHECK(message.at("context").as_string() == "vessels.self");
    const json::array& updates = message.at("updates").as_array();
    REQUIRE(updates.size() == 1);
    CHECK(updates[0].at("source").at("label").as_string() == "quaycell");
    std::map<std::string, json::value> found;
    for (const json::value& entry : updates[0].at(kind).as_array())
        found[std::string(entry.at("path").as_string())] = entry.at("value");
    return found;
}

} // namespace

TEST_CASE("a delta has volts, and a time in UTC") {
    MadeLive live;
    const std::string line =
        signalk_delta(live.take_many(10, {.potential_mv = -1000, .ac_mv = 12}));
    CHECK(json::parse(line).at("updates").at(0).at("timestamp").as_string() ==
          "2026-05-28T20:28:30Z");
    const auto values = entries(line, "values");
    CHECK(values.at("quaycell.00000077.hullPotential").to_number<double>() ==
          doctest::Approx(-1.0).epsilon(1e-3));
    CHECK(values.at("quaycell.00000077.acVoltage").to_number<double>() ==
          doctest::Approx(0.012).epsilon(0.01));
    CHECK(values.at("quaycell.00000077.verdict").as_string() == "protected");
    CHECK(values.at("quaycell.00000077.readingSettled").as_bool());
    CHECK(values.at("quaycell.00000077.potentialDrift").is_null());
    CHECK_FALSE(values.contains("environment.water.temperature")); // not measured
}

TEST_CASE("a potential that is no hull's is null, not a number") {
    MadeLive live;
    const auto values = entries(
        signalk_delta(live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead})),
        "values");
    for (const char* name : {"hullPotential", "hullPotentialUncertainty", "cellPotential"})
        CHECK(values.at(std::string("quaycell.00000077.") + name).is_null());
    CHECK(values.at("quaycell.00000077.lead").as_string() == "not good");
}

TEST_CASE("each path that the standard does not have is explained, with its unit") {
    MadeLive live;
    const auto values = entries(signalk_delta(live.take({})), "values");
    const auto meta = entries(signalk_meta("00000077", MadeLive::at(0)), "meta");
    for (const auto& [path, value] : values) {
        CAPTURE(path);
        REQUIRE(meta.contains(path));
        CHECK_FALSE(meta.at(path).at("description").as_string().empty());
        if (value.is_double()) CHECK(meta.at(path).as_object().contains("units"));
    }
}
