#include "made_live.h"

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("the verdict stands beside the limit that decides and its source") {
    MadeLive live;
    const LiveWords words = live.take_many(10, {-800}).words;
    CHECK(words.verdict == "under-protected");
    CHECK(words.limit == "aluminium: protected from -950 to -1100 mV on agcl/seawater");
    CHECK(words.source.starts_with("ABYC E-2"));
}

TEST_CASE("without a verdict it is told why") {
    MadeLive live;
    CHECK(live.take({.flags = wire::flag_unsettled}).words.limit ==
          "the electronics settle, some seconds");
    const LiveWords open =
        live.take({.flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead}).words;
    CHECK(open.verdict == "no-verdict");
    CHECK(open.limit.find("lead of the cell is open") != std::string::npos);
    CHECK(open.leads == open.limit);
    CHECK(open.reading == "none that shows the metal");
    CHECK(live.take({.flags = wire::flag_converter_fault, .source_a = MadeLive::good_cell})
              .words.limit.find("needs repair") != std::string::npos);
    CHECK(live.take({.flags = wire::flag_saturated_a}).words.limit.find("beyond") !=
          std::string::npos);
    CHECK(live.take({1000}).words.limit.find("mV") != std::string::npos); // no metal shows it
}

TEST_CASE("what has settled and what has not is told in words") {
    MadeLive live;
    const LiveWords at_first = live.take_many(4, {}).words;
    CHECK(at_first.reading == "settling, 4 of 10 readings");
    CHECK(at_first.doubt == "reading not settled");
    const LiveWords settled = live.take_many(10, {}).words;
    CHECK(settled.doubt == "cell not settled");
    CHECK(settled.reading == "settled: 10 within 2 mV");
    CHECK(settled.cell == "watched 13 s of 5 min");
    CHECK(live.take_many(60, {}).words.cell == "so far +0.0 mV in 5 min (73 s)");
    const LiveWords at_last = live.take_many(240, {}).words;
    CHECK(at_last.cell == "settled: +0.0 mV in 5 min");
    CHECK(at_last.doubt.empty());
    CHECK(live.take({-1004}).words.reading == "NOT settled: within 4.0 mV");
}

TEST_CASE("a drift that is too large says so") {
    MadeLive live;
    LiveView view;
    for (int s = 0; s <= 300; ++s)
        view = live.take({.potential_mv = -1000 + 0.05 * s});
    CHECK(view.words.cell == "NOT settled: +15.0 mV in 5 min");
}

TEST_CASE("leads, AC, water, battery and shore power are told, or that they are not known") {
    MadeLive live(MadeLive::sea_boat(), FirstLook::to_come);
    const LiveWords at_first = live.take({}).words;
    CHECK(at_first.leads == "not looked at yet");
    CHECK(at_first.ac == "not measured yet");
    CHECK(at_first.shore == "nobody has said");
    CHECK(at_first.water == "15 degC, salinity 35 PSU");
    CHECK(at_first.battery == "4.50 V");
    live.watch.say_shore({ShoreCord::unplugged, from_unix_s(1'780'000'000)});
    const LiveWords later = live.take({.flags = wire::flag_low_battery | wire::flag_ac_clipped_a,
                                       .ac_mv = 60,
                                       .source_a = MadeLive::good_cell})
                                .words;
    CHECK(later.leads.starts_with("good, "));
    CHECK(later.leads.ends_with(" kohm, seen 0 s ago"));
    CHECK(live.take_many(42, {}).words.leads.ends_with(" kohm, seen 42 s ago"));
    CHECK(later.ac == "TOO HIGH: 60 mV rms at 20:28:22Z, 50 is the limit; now at least 60 mV rms");
    CHECK(later.battery == "4.50 V, LOW");
    CHECK(later.shore == "unplugged since 20:26:40Z");
}

TEST_CASE("an assumed water is called so") {
    BoatOptions boat;
    boat.hull = "steel";
    MadeLive live(boat);
    const std::string water = live.take({}).words.water;
    CHECK(water == "15 degC, salinity 30 to 40 PSU, assumed, temperature assumed");
}
