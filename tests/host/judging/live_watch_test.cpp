#include "judging/live_watch.h"

#include "made_live.h"

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("a reading settles in ten seconds, the cell in five minutes, and each is told apart") {
    MadeLive live;
    CHECK_FALSE(live.take_many(9, {}).reading.settled);
    const LiveView settled = live.take({});
    CHECK(settled.reading.settled);
    CHECK(settled.reading.readings == 10);
    CHECK_FALSE(settled.cell.settled);
    CHECK(std::isnan(settled.cell.drift_mv));
    CHECK_FALSE(live.take_many(290, {}).cell.settled);
    const LiveView after = live.take({});
    CHECK(after.cell.settled);
    CHECK(after.cell.drift_mv == doctest::Approx(0));
}

TEST_CASE("a soaking cell has settled readings and has not settled itself") {
    MadeLive live;
    LiveView view;
    for (int s = 0; s <= 300; ++s)
        view = live.take({.potential_mv = -1000 + 0.05 * s}); // 15 mV in 5 min
    CHECK(view.reading.settled);
    CHECK_FALSE(view.cell.settled);
    CHECK(view.cell.drift_mv == doctest::Approx(15).epsilon(0.01));
}

TEST_CASE("what is shown is the median where it has settled, else the latest") {
    MadeLive live;
    CHECK(live.take({-1000}).shown.potential_mv == doctest::Approx(-1000));
    live.take_many(9, {-1000});
    const LiveView jitter = live.take({-1001});
    CHECK(jitter.latest.potential_mv == doctest::Approx(-1001));
    CHECK(jitter.shown.potential_mv == doctest::Approx(-1000));
    // In standard sea water the bare element is the standard scale.
    CHECK(jitter.shown.standard_mv == doctest::Approx(-1000).epsilon(1e-4));
    const LiveView moved = live.take({-700});
    CHECK_FALSE(moved.reading.settled);
    CHECK(moved.shown.potential_mv == doctest::Approx(-700));
    CHECK(moved.cell.watched_s == 0); // another metal
}

TEST_CASE("the verdict is that of what is shown") {
    // The aluminium row of the default rules: protected from -950 to -1100 mV.
    MadeLive live;
    CHECK(live.take_many(10, {-1020}).shown.judgement.verdict == Verdict::protected_);
    CHECK(live.take_many(10, {-800}).shown.judgement.verdict == Verdict::under_protected);
    CHECK(live.take_many(10, {-1300}).shown.judgement.verdict == Verdict::over_protected);
    CHECK(live.take_many(10, {-951}).shown.judgement.verdict == Verdict::undecided);
}

TEST_CASE("an open lead shows no metal, and all settles anew when it is mended") {
    MadeLive live;
    live.take_many(20, {.source_a = MadeLive::good_cell});
    const LiveView open =
        live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead});
    CHECK_FALSE(open.shows_metal);
    CHECK_FALSE(open.reading.settled);
    CHECK(open.reading.readings == 0);
    CHECK(open.shown.judgement.verdict == Verdict::no_verdict);
    const LiveView mended = live.take({.source_a = MadeLive::good_cell});
    CHECK(mended.shows_metal);
    CHECK(mended.reading.readings == 1);
    CHECK(mended.cell.watched_s == 0);
}

TEST_CASE("the second in which the filter catches up after a look at the leads changes nothing") {
    MadeLive live;
    live.take_many(60, {});
    const LiveView look = live.take({.potential_mv = -990, .flags = wire::flag_unsettled});
    CHECK(look.shows_metal);
    CHECK(look.reading.settled);
    CHECK(look.shown.potential_mv == doctest::Approx(-1000));
    CHECK(look.shown.judgement.verdict == Verdict::protected_);
    CHECK(live.take({}).cell.watched_s == 61);
}

TEST_CASE("nothing is judged before cell and leads were looked at, however steady it stands") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::to_come);
    const LiveView before = live.take_many(12, {-1020});
    CHECK(before.reading.settled);
    CHECK(before.shown.judgement.verdict == Verdict::no_verdict);
    CHECK(before.shown.judgement.rows.empty());
    CHECK(has(before.latest.quality, Quality::unsettled)); // for those who read a trace of it
    CHECK(before.words.limit.find("have not been looked at yet") != std::string::npos);
    const LiveView looked = live.take({.potential_mv = -1020, .source_a = MadeLive::good_cell});
    CHECK(looked.shown.judgement.verdict == Verdict::protected_);
    CHECK(looked.latest.quality == Quality::good);
}

TEST_CASE("what is shown may be on another scale, with that conversion's uncertainty") {
    // Standards print -800 mV on agcl/seawater and -850 mV on cse as one limit, others -0.78 and
    // -0.85 V: 50 to 70 mV between them.
    MadeLive live(MadeLive::sea_boat(), FirstLook::taken, Scale::cse);
    const LiveView view = live.take_many(10, {-1000});
    Water water;
    water.salinity_psu = {35, 35};
    water.temperature_c = 15;
    CHECK(view.display_scale == Scale::cse);
    CHECK(view.shown.display_mv ==
          doctest::Approx(convert_mv(-1000, Scale::agcl_open, Scale::cse, water).value()));
    CHECK(view.shown.display_mv < -1045);
    CHECK(view.shown.display_mv > -1080);
    CHECK(view.shown.display_expanded_mv > view.shown.expanded_uncertainty_mv);
    CHECK(view.shown.standard_mv == doctest::Approx(-1000).epsilon(1e-4));
    // Against the cell itself nothing is converted: neither scale nor chloride makes it uncertain.
    MadeLive own(MadeLive::sea_boat(), FirstLook::taken, Scale::agcl_open);
    const LiveView as_read = own.take_many(10, {-1000});
    CHECK(as_read.shown.display_mv == doctest::Approx(-1000));
    CHECK(as_read.shown.display_expanded_mv <= as_read.shown.expanded_uncertainty_mv);
}

TEST_CASE("next to nothing is suspected, and not taken for a hull that lacks anodes") {
    MadeLive live;
    const LiveView view = live.take_many(10, {0.5});
    CHECK(view.shown.judgement.verdict == Verdict::under_protected);
    CHECK(view.words.doubt.find("look at clip, leads and cell") != std::string::npos);
    REQUIRE_FALSE(view.shown.judgement.reasons.empty());
    CHECK(view.shown.judgement.reasons.back().find("0.5 mV is next to nothing") == 0);
    CHECK(live.take_many(10, {-20}).words.doubt == "cell not settled");
}

TEST_CASE("after power-up the filter settles first") {
    MadeLive live;
    const LiveView first = live.take({.flags = wire::flag_unsettled});
    CHECK_FALSE(first.shows_metal);
    CHECK(first.shown.judgement.verdict == Verdict::no_verdict);
}

TEST_CASE("a restart of the logger begins everything anew") {
    MadeLive live;
    live.take_many(20, {});
    ++live.boot;
    CHECK(live.take({}).reading.readings == 1);
}

TEST_CASE("AC above the limit of practice stays told after it has gone") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::to_come); // of a cell without resistance
    CHECK(std::isnan(live.take({}).ac.last_mv));
    const LiveView little = live.take({.ac_mv = 49});
    CHECK(little.ac.last_mv == doctest::Approx(49).epsilon(0.01));
    CHECK_FALSE(little.ac.too_high);
    CHECK(little.cautions.empty());
    live.take({.ac_mv = 120});
    const Instant then = MadeLive::at(live.ticks_s);
    const LiveView much = live.take({.source_a = 0});
    CHECK(much.ac.too_high);
    REQUIRE(much.cautions.size() == 3);
    CHECK(much.cautions[0].starts_with("AC TOO HIGH: 120 mV rms at "));
    CHECK(much.cautions[1].find("electrician") != std::string::npos);
    CHECK(much.cautions.back().find("Nobody goes into the water") != std::string::npos);
    const LiveView after = live.take({.ac_mv = 3});
    CHECK(after.ac.last_mv == doctest::Approx(3).epsilon(0.1));
    CHECK(after.ac.highest_mv == doctest::Approx(120).epsilon(0.01));
    CHECK(after.ac.highest_at == then);
    CHECK(after.ac.too_high);
    CHECK_FALSE(after.cautions.empty());
    CHECK(live.take({}).ac.last_mv == doctest::Approx(3).epsilon(0.1)); // not measured in this one
}

TEST_CASE("AC with an open lead is told as what it may be, first, with what to beware of") {
    MadeLive live;
    live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead});
    const LiveView hum = live.take({.flags = wire::flag_not_good_a, .ac_mv = 200});
    CHECK_FALSE(hum.ac.too_high);
    REQUIRE(hum.cautions.size() == 3);
    CHECK(hum.cautions[0].starts_with("AC PERHAPS TOO HIGH: "));
    CHECK(hum.cautions[0].ends_with("; or the lead is open, which hums"));
    CHECK(hum.cautions.back().find("Nobody goes into the water") != std::string::npos);
    CHECK(hum.words.ac.starts_with("PERHAPS TOO HIGH: "));
}

TEST_CASE("the logger is asked to look when the potential has jumped, and not while it stands") {
    MadeLive live;
    for (int s = 0; s < 30; ++s)
        CHECK_FALSE(live.take({}).leads_to_be_looked_at);
    CHECK(live.take({-700}).leads_to_be_looked_at);
    CHECK_FALSE(live.take({-700}).leads_to_be_looked_at);
}

TEST_CASE("a look from before the logger's restart tells nothing") {
    MadeLive live;
    CHECK(live.take_many(5, {}).latest.looked_ago_s == 4);
    ++live.boot;
    const LiveView after = live.take({});
    CHECK(after.latest.lead == LeadState::unknown);
    CHECK(std::isnan(after.latest.looked_ago_s));
}

TEST_CASE(
    "what plugging in changed is told between what had settled before and what settles after") {
    MadeLive live;
    live.take_many(20, {-1020});
    const Instant said = MadeLive::at(live.ticks_s);
    live.watch.say_shore({ShoreCord::plugged, said});
    const LiveView at_once = live.take({-980});
    REQUIRE(at_once.shore);
    CHECK(at_once.shore->cord == ShoreCord::plugged);
    CHECK(at_once.shore->at == said);
    CHECK(at_once.shore->before_mv == doctest::Approx(-1020).epsilon(1e-4));
    CHECK(std::isnan(at_once.shore->change_mv));
    CHECK(at_once.cell.watched_s == 0);
    CHECK(live.take_many(9, {-980}).shore->change_mv == doctest::Approx(40).epsilon(1e-3));
    // It goes on from what has settled since.
    live.watch.say_shore({ShoreCord::unplugged, said});
    CHECK(live.take({-1020}).shore->before_mv == doctest::Approx(-980).epsilon(1e-4));
}

TEST_CASE("before anything has settled there is nothing to tell a change from") {
    MadeLive live;
    live.take({});
    live.watch.say_shore({ShoreCord::plugged, MadeLive::at(0)});
    CHECK(std::isnan(live.take_many(10, {}).shore->change_mv));
}

TEST_CASE(
    "readings that come at once have times that rise, and a clock that is set back is followed") {
    MadeLive live;
    const Instant noon = from_unix_s(1'780'000'000);
    CHECK(live.take_at(noon).latest.time == noon);
    CHECK(live.take_at(noon).latest.time == noon + Milliseconds{1});
    CHECK(live.take_at(noon - Milliseconds{300}).latest.time == noon + Milliseconds{2});
    CHECK(live.take_at(noon + Milliseconds{700}).latest.time == noon + Milliseconds{700});
    const Instant earlier = noon - std::chrono::hours{1};
    CHECK(live.take_at(earlier).latest.time == earlier);
}
