#include "diagnosis/trace_causes.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

JudgedTrace quiet() {
    JudgedTrace judged;
    judged.share.protected_ = 1;
    judged.shore = {missing_value, missing_value, 3, 3};
    judged.trend = {missing_value, missing_value, missing_value, false, "too short"};
    return judged;
}

JudgedTrace plugged_by(double by_mv) {
    JudgedTrace judged = quiet();
    judged.shore.unplugged_median_mv = -980;
    judged.shore.plugged_median_mv = -980 + by_mv;
    return judged;
}

Event event(EventKind kind, double change_mv = missing_value) {
    return {from_unix_s(1000), kind, change_mv, ""};
}

std::vector<TraceCause> causes(const JudgedTrace& judged, bool element_in_water = false) {
    return trace_causes(judged, {Hull::aluminium, {"zinc"}, {}}, element_in_water);
}

bool has(const std::vector<TraceCause>& found, std::string_view id) {
    return std::ranges::find(found, id, &TraceCause::id) != found.end();
}

} // namespace

TEST_CASE("where nothing happens nothing lies behind it") {
    CHECK(causes(quiet()).empty());
}

TEST_CASE("less negative when plugged in: the shore's earth, and never to be lifted") {
    JudgedTrace judged = plugged_by(80);
    judged.share = {0.4, 0.6, 0, 0, 0};
    const auto found = causes(judged);
    REQUIRE(found.size() == 1);
    CHECK(found[0].id == "shore-earth");
    CHECK(found[0].speaks_for[0] == "plugged in, the potential is 80 mV less negative");
    CHECK(found[0].speaks_for[1] == "under-protected for 40 % of the time");
    CHECK(found[0].caution.find("Never lift") != std::string_view::npos);
}

TEST_CASE("over-protected: too much anode, whatever the shore's earth takes off") {
    JudgedTrace judged = plugged_by(60);
    judged.share = {0, 0, 1, 0, 0};
    const auto found = causes(judged);
    REQUIRE(found.size() == 2);
    CHECK(found[0].id == "too-much-anode");
    CHECK(found[0].speaks_for[0] == "over-protected for 100 % of the time");
    CHECK(found[0].caution.find("Add no anode") != std::string_view::npos);
    CHECK(found[1].id == "shore-earth");
    CHECK(found[1].speaks_against.size() == 1);
}

TEST_CASE("less negative when unplugged: the dock fed the boat first, a current aboard second") {
    const auto found = causes(plugged_by(-60));
    REQUIRE(found.size() == 2);
    CHECK(found[0].id == "fed-by-the-dock");
    CHECK(found[1].id == "stray-current-aboard");
}

TEST_CASE("no change by plugging may be an open earth, which is a hazard") {
    JudgedTrace judged = plugged_by(2);
    judged.events = {event(EventKind::ac_rise), event(EventKind::ac_fall)};
    const auto found = causes(judged);
    REQUIRE_FALSE(found.empty());
    CHECK(found[0].id == "isolator-or-open-earth");
    CHECK(found[0].cause.find("hazard") != std::string_view::npos);
    CHECK(found[0].caution.find("Nobody goes into the water") != std::string_view::npos);
}

TEST_CASE("the heavier evidence comes first") {
    JudgedTrace judged = plugged_by(15);
    judged.events = {event(EventKind::repeated_load, 90), event(EventKind::step, 8)};
    const auto found = causes(judged);
    REQUIRE(found.size() == 3);
    CHECK(found[0].id == "own-load");
    CHECK(found[1].id == "shore-earth");
    CHECK(found[2].id == "stray-current-outside");
}

TEST_CASE("a step beyond the limit of interference weighs more") {
    JudgedTrace small = quiet(), large = quiet();
    small.events = {event(EventKind::step, 12)};
    large.events = {event(EventKind::step, 40)};
    CHECK(causes(small)[0].speaks_for.size() == 1);
    CHECK(causes(large)[0].speaks_for.size() == 2);
}

TEST_CASE("an excursion to the more negative is no interference, coming back from it neither") {
    JudgedTrace judged = quiet();
    judged.events = {event(EventKind::step, -60), event(EventKind::step, 60)};
    const auto found = causes(judged);
    REQUIRE(found.size() == 1);
    CHECK(found[0].id == "stray-current-outside");
    CHECK(found[0].speaks_for.size() == 1);
    CHECK(found[0].speaks_against.size() == 1);
    // Farther back than where it came from is.
    judged.events = {event(EventKind::step, -60), event(EventKind::step, 90)};
    const auto beyond = causes(judged);
    REQUIRE(beyond[0].speaks_for.size() == 2);
    CHECK(beyond[0].speaks_for[1].find("by 30 mV toward less negative") == 0);
    CHECK(beyond[0].speaks_against.empty());
}

namespace {

/// Aluminium by itself lies from -1000 to -760 mV in sea water, a stepping trace at its end.
JudgedTrace stepped_to(double end_mv, Verdict at_end) {
    JudgedTrace judged = quiet();
    std::vector<double> levels(600, -1050);
    levels.insert(levels.end(), 400, end_mv);
    judged.standard_mv = levels;
    judged.events = {event(EventKind::step, end_mv + 1050)};
    judged.spells = {{from_unix_s(0), from_unix_s(600), Verdict::protected_, 1, -1050},
                     {from_unix_s(600), from_unix_s(1000), at_end, 1, end_mv}};
    return judged;
}

std::vector<TraceCause> causes_at_sea(const JudgedTrace& judged) {
    Water sea;
    sea.salinity_psu = {35, 35};
    return trace_causes(judged, {Hull::aluminium, {"zinc"}, sea}, false);
}

} // namespace

TEST_CASE("a lasting step to where the metal lies by itself: something let go, before a current") {
    const auto found = causes_at_sea(stepped_to(-800, Verdict::under_protected));
    REQUIRE(found.size() == 2);
    CHECK(found[0].id == "protection-lost");
    CHECK(found[0].speaks_for[0] ==
          "the potential stepped by 250 mV toward less negative and stayed there");
    CHECK(found[0].speaks_for[1] ==
          "it ends at -800 mV, as aluminium alloys by itself (-1000 to -760 mV)");
    CHECK(found[1].id == "stray-current-outside");
    CHECK(found[1].speaks_against.size() == 1);
    // Less negative than that: nobler metal draws it up.
    const auto drawn_up = causes_at_sea(stepped_to(-600, Verdict::under_protected));
    CHECK(drawn_up[0].speaks_for[1].find("less negative than aluminium alloys") !=
          std::string::npos);
}

TEST_CASE("a step that comes back, or stays in the band, is not protection lost") {
    CHECK_FALSE(has(causes_at_sea(stepped_to(-950, Verdict::protected_)), "protection-lost"));
    JudgedTrace back = stepped_to(-800, Verdict::under_protected);
    back.events.push_back(event(EventKind::step, -250));
    CHECK_FALSE(has(causes_at_sea(back), "protection-lost"));
    Water river;
    river.salinity_psu = {0.1, 0.1}; // nobody knows where metals lie by themselves there
    CHECK_FALSE(has(trace_causes(stepped_to(-800, Verdict::under_protected),
                                 {Hull::aluminium, {}, river}, false),
                    "protection-lost"));
}

TEST_CASE("a drift toward over-protection is told together with the day that it leads to") {
    JudgedTrace judged = quiet();
    judged.trend = {-0.6, -0.8, -0.4, true, ""};
    judged.band_exit = {-1150, from_unix_s(86400LL * 20'000), std::nullopt, 12};
    const auto found = causes(judged);
    REQUIRE(has(found, "too-much-anode"));
    CHECK(std::ranges::find(found, "too-much-anode", &TraceCause::id)->speaks_for[0] ==
          "the undisturbed potential drifts by 0.60 mV a day toward more negative, and at that "
          "rate over-protection, -1150 mV, is reached from 2024-10-04 on");
}

TEST_CASE("what counts as interference goes by the water") {
    JudgedTrace judged = quiet();
    judged.events = {event(EventKind::step, 40)};
    Water river;
    river.salinity_psu = {0.1, 0.1};
    const auto found = trace_causes(judged, {Hull::steel, {}, river}, false);
    REQUIRE(found.size() == 1);
    CHECK(found[0].speaks_for.size() == 1);
}

TEST_CASE("under-protected most of the time, and no drift: the anodes do not work") {
    JudgedTrace judged = quiet();
    judged.share = {0.9, 0.1, 0, 0, 0};
    judged.trend = {0.05, -0.2, 0.3, false, ""};
    const auto found = causes(judged);
    REQUIRE(found.size() == 1);
    CHECK(found[0].id == "idle-anodes");
    CHECK(found[0].speaks_for.size() == 2);
    CHECK(found[0].speaks_against.empty());
    // Anodes that waste, a hull that something holds when unplugged, and one that settles speak
    // against it.
    judged.trend = {0.6, 0.4, 0.8, true, ""};
    judged.shore = {-880, -980, 3, 3};
    judged.events = {event(EventKind::settling)};
    CHECK_FALSE(has(causes(judged), "idle-anodes"));
}

TEST_CASE("under-protected, but more negative than the hull's metal by itself: anodes at work") {
    // Aluminium alloys by themselves lie from -1000 to -760 mV, mild steel from -710 to -600.
    JudgedTrace judged = quiet();
    judged.share = {1, 0, 0, 0, 0};
    judged.statistics.median_mv = -790;
    Water sea;
    sea.salinity_psu = {35, 35};
    const auto found = trace_causes(judged, {Hull::steel, {}, sea}, false);
    REQUIRE(found.size() == 1);
    CHECK(found[0].id == "spent-anodes");
    CHECK(found[0].cause.find("at work") != std::string_view::npos);
    judged.statistics.median_mv = -650;
    const auto by_itself = trace_causes(judged, {Hull::steel, {}, sea}, false);
    REQUIRE(by_itself.size() == 1);
    CHECK(by_itself[0].id == "idle-anodes");
    for (const std::string& words : by_itself[0].speaks_for)
        CHECK(words.find("whatever") == std::string::npos);
}

TEST_CASE("that shore power was plugged in is inferred where no AC was measured") {
    JudgedTrace judged = plugged_by(80);
    judged.shore.ac_p95_mv = missing_value;
    const auto found = causes(judged);
    REQUIRE(found.size() == 1);
    REQUIRE(found[0].speaks_against.size() == 1);
    CHECK(found[0].speaks_against[0].find("inferred") != std::string::npos);
}

TEST_CASE("under-protected now and then is no matter of idle anodes") {
    JudgedTrace judged = quiet();
    judged.share = {0.3, 0.7, 0, 0, 0};
    CHECK_FALSE(has(causes(judged), "idle-anodes"));
}

TEST_CASE("a drift is told together with the day that it leads to, and may be the cell's") {
    JudgedTrace judged = quiet();
    judged.trend = {0.6, 0.4, 0.8, true, ""};
    judged.band_exit = {-950, from_unix_s(86400LL * 20'000), std::nullopt, 12};
    const auto found = causes(judged);
    REQUIRE(found.size() == 2);
    CHECK(found[0].id == "wasting-anodes");
    CHECK(found[0].speaks_for[1] ==
          "at that rate the end of the band, -950 mV, is reached from 2024-10-04 on");
    CHECK(found[1].id == "drifting-cell");
    judged.trend = {-0.6, -0.8, -0.4, true, ""};
    CHECK(has(causes(judged), "drifting-cell"));
}

TEST_CASE("a load that draws the metal more negative, or hardly at all, is less of a leak") {
    JudgedTrace judged = quiet();
    judged.events = {event(EventKind::repeated_load, -7)};
    const auto found = causes(judged);
    REQUIRE(found.size() == 1);
    CHECK(found[0].speaks_against.size() == 2);
}

TEST_CASE("a significant drift toward less negative is wasting anodes, another is not") {
    JudgedTrace judged = quiet();
    judged.trend = {0.6, 0.4, 0.8, true, ""};
    CHECK(has(causes(judged), "wasting-anodes"));
    judged.trend = {-0.6, -0.8, -0.4, true, ""};
    CHECK_FALSE(has(causes(judged), "wasting-anodes"));
    judged.trend = {0.6, -0.1, 1.2, false, ""};
    CHECK_FALSE(has(causes(judged), "wasting-anodes"));
}

TEST_CASE("a bare element answers to the salinity that the tide brings") {
    JudgedTrace judged = quiet();
    judged.cycles.found = {{"tide", 12.42, 9, 0.2, from_unix_s(0)}};
    CHECK(has(causes(judged, true), "thinning-water"));
    CHECK_FALSE(has(causes(judged, false), "thinning-water"));
}

TEST_CASE("cells that part and leads that open make the reading doubtful") {
    JudgedTrace judged = quiet();
    judged.events = {event(EventKind::cells_disagree), event(EventKind::open_lead),
                     event(EventKind::cell_dry), event(EventKind::polarity_reversed)};
    const auto found = causes(judged);
    CHECK(has(found, "cell-in-doubt"));
    CHECK(has(found, "lead-in-doubt"));
}

TEST_CASE("every cause tells its source and status, and what to do about it") {
    JudgedTrace judged = plugged_by(-60);
    for (const EventKind kind : {EventKind::step, EventKind::repeated_load, EventKind::ac_rise,
                                 EventKind::cell_dry, EventKind::open_lead})
        judged.events.push_back(event(kind, 30));
    for (const TraceCause& cause : causes(judged)) {
        INFO(cause.id);
        CHECK_FALSE(cause.source.empty());
        CHECK_FALSE(cause.status.empty());
        CHECK_FALSE(cause.test.empty());
        CHECK_FALSE(cause.speaks_for.empty());
    }
}
