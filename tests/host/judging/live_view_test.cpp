#include "judging/live_view.h"

#include "made_live.h"

#include <boost/json.hpp>

using namespace quaycell;
using namespace quaycell::testing;
namespace json = boost::json;

TEST_CASE("a display can be made of the JSON alone") {
    MadeLive live;
    live.take_many(20, {-1020});
    live.watch.say_shore({ShoreCord::plugged, MadeLive::at(live.ticks_s)});
    live.take_many(10, {-980});
    const json::object view = live_view_json(
        live.take({.potential_mv = -981, .ac_mv = 120, .source_a = MadeLive::good_cell}));
    CHECK(view.at("device").as_string() == "00000077");
    CHECK(view.at("time").as_string() == "2026-05-28T20:28:51Z");
    CHECK(view.at("potential_mv").to_number<double>() == -981);
    CHECK(view.at("shown").at("potential_mv").to_number<double>() == -980);
    CHECK(view.at("shown").at("scale").as_string() == "agcl/seawater");
    CHECK(view.at("cell_scale").as_string() == "agcl/open");
    CHECK(view.at("reading").at("settled").as_bool());
    CHECK_FALSE(view.at("cell").at("settled").as_bool());
    CHECK(view.at("cell").at("drift_mv_in_5_min").is_null());
    CHECK(view.at("ac").at("too_high").as_bool());
    CHECK(view.at("shore").at("cord").as_string() == "plugged");
    CHECK(view.at("shore").at("change_mv").to_number<double>() ==
          doctest::Approx(40).epsilon(0.01));
    CHECK(view.at("words").at("verdict").as_string() == "protected");
    CHECK(view.at("words").at("doubt").as_string() == "cell not settled");
    CHECK(view.at("shown").at("display").at("scale").as_string() == "agcl/seawater");
    CHECK(view.at("shown").at("display").at("potential_mv") == view.at("shown").at("standard_mv"));
    CHECK(view.at("cautions").as_array().size() == 3);
}

TEST_CASE("what is not known is null") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::to_come);
    const json::object view = live_view_json(live.take({}));
    CHECK(view.at("shore").is_null());
    CHECK(view.at("ac_mv").is_null());
    CHECK(view.at("ac").at("highest_at").is_null());
    CHECK(view.at("temperature_c").is_null());
    CHECK(view.at("source_ohm").is_null());
}
