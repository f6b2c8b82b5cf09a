#include "series/events.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

constexpr std::int64_t interval_s = 10;

/// A reading every 10 s of a hull at -980 mV, with 0.8 mV of noise.
class Berth {
  public:
    explicit Berth(double hours, double noise_mv = 0.8) {
        std::mt19937 engine(19);
        std::normal_distribution<double> noise(0, noise_mv);
        for (std::int64_t s = 0; s < static_cast<std::int64_t>(hours * 3600); s += interval_s) {
            trace.time.push_back(from_unix_s(s));
            trace.potential_mv.push_back(-980 + noise(engine));
            trace.ac_mv.push_back(3 + 0.1 * noise(engine));
        }
    }

    /// Adds so much from hour to hour.
    Berth& add(std::vector<double> Trace::*column, double from_h, double to_h, double by) {
        for (std::size_t i = 0; i < trace.time.size(); ++i)
            if (hour(i) >= from_h && hour(i) < to_h) (trace.*column)[i] += by;
        return *this;
    }
    Berth& step(double at_h, double by) { return add(&Trace::potential_mv, at_h, 1e9, by); }
    Berth& ac(double at_h, double by) { return add(&Trace::ac_mv, at_h, 1e9, by); }
    /// Takes the readings of these hours out.
    Berth& silent(double from_h, double to_h) {
        Trace left;
        for (std::size_t i = 0; i < trace.time.size(); ++i) {
            if (hour(i) >= from_h && hour(i) < to_h) continue;
            left.time.push_back(trace.time[i]);
            left.potential_mv.push_back(trace.potential_mv[i]);
            left.ac_mv.push_back(trace.ac_mv[i]);
        }
        trace = left;
        return *this;
    }

    Happenings happenings(const std::vector<Refit>& refits = {}) const {
        return happenings_of(trace, trace.potential_mv, coverage_of(trace.time), refits);
    }

    Trace trace;

  private:
    double hour(std::size_t i) const { return seconds_between(Instant{}, trace.time[i]) / 3600; }
};

Refit refit(const char* what, std::int64_t from_h, std::int64_t to_h, const char* text) {
    Refit refit;
    refit.what = what;
    refit.when.earliest = from_unix_s(3600 * from_h);
    refit.when.latest = from_unix_s(3600 * to_h);
    refit.when.text = text;
    return refit;
}

bool is_at(const Event& event, EventKind kind, double hour) {
    return event.kind == kind &&
           std::abs(seconds_between(Instant{}, event.time) - hour * 3600) <= 2 * interval_s;
}

} // namespace

TEST_CASE("a quiet day has no event") {
    CHECK(Berth(24).happenings().events.empty());
    CHECK(Berth(24, 5).happenings().events.empty());
    CHECK(Berth(24, 0).happenings().events.empty());
}

TEST_CASE("a step together with AC is shore power, on and off") {
    const Happenings found =
        Berth(48).step(10, 60).ac(10, 80).step(30, -60).ac(30, -80).happenings();
    REQUIRE(found.events.size() == 2);
    CHECK(is_at(found.events[0], EventKind::shore_power_on, 10));
    CHECK(found.events[0].change_mv == doctest::Approx(60).epsilon(0.03));
    CHECK(is_at(found.events[1], EventKind::shore_power_off, 30));
    CHECK(found.shore_power[0] == ShorePower::unplugged);
    CHECK(found.shore_power[20 * 360] == ShorePower::plugged);
    CHECK(found.shore_power[48 * 360 - 1] == ShorePower::unplugged);
    CHECK(std::isnan(found.undisturbed_mv[20 * 360]));
    CHECK_FALSE(std::isnan(found.undisturbed_mv[5 * 360]));
}

TEST_CASE("back at the level before shore power, it was unplugged even when AC stays") {
    const Happenings found = Berth(48).step(10, 60).ac(10, 80).step(30, -60).happenings();
    REQUIRE(found.events.size() == 2);
    CHECK(is_at(found.events[1], EventKind::shore_power_off, 30));
}

TEST_CASE("back at the level while AC stays is no unplugging where AC falls later") {
    const Happenings found = Berth(24)
                                 .step(5, 20)
                                 .ac(5, 80)
                                 .step(8, -20)
                                 .step(14, 20)
                                 .step(18, -20)
                                 .ac(18, -80)
                                 .happenings();
    REQUIRE(found.events.size() == 4);
    CHECK(found.events[0].kind == EventKind::shore_power_on);
    CHECK(found.events[1].kind == EventKind::step);
    CHECK(found.events[2].kind == EventKind::step);
    CHECK(found.events[3].kind == EventKind::shore_power_off);
}

TEST_CASE("where AC never tells, an hour or more on another level is taken for shore power") {
    Berth berth(48);
    berth.step(10, 60).step(30, -60);
    const Happenings found = berth.happenings();
    REQUIRE(found.events.size() == 2);
    CHECK(is_at(found.events[0], EventKind::shore_power_on, 10));
    CHECK(is_at(found.events[1], EventKind::shore_power_off, 30));
}

TEST_CASE("a step alone is a step") {
    const Happenings found = Berth(48).step(20, -12).happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::step, 20));
    CHECK(found.events[0].change_mv == doctest::Approx(-12).epsilon(0.1));
    CHECK(found.undisturbed_blocks.level.back() == found.undisturbed_blocks.level.front() + 1);
}

TEST_CASE("AC alone is a rise and a fall") {
    const Happenings found = Berth(24).ac(8, 40).ac(12, -40).happenings();
    REQUIRE(found.events.size() == 2);
    CHECK(is_at(found.events[0], EventKind::ac_rise, 8));
    CHECK(is_at(found.events[1], EventKind::ac_fall, 12));
    CHECK(std::isnan(found.events[0].change_mv));
}

TEST_CASE("equal pulses are one load, told once") {
    Berth berth(24);
    for (int pulse = 0; pulse < 9; ++pulse)
        berth.step(6 + pulse * 1.0, 15).step(6 + pulse * 1.0 + 0.2, -15);
    const Happenings found = berth.happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::repeated_load, 6));
    CHECK(found.events[0].why.find("9 times") != std::string::npos);
    CHECK(found.events[0].why.find("for 12 min each, every 1 h") != std::string::npos);
}

TEST_CASE("pulses of unequal height are no load") {
    Berth berth(24);
    double height = 10;
    for (int pulse = 0; pulse < 4; ++pulse, height *= 1.5)
        berth.step(6 + pulse * 1.0, height).step(6 + pulse * 1.0 + 0.2, -height);
    for (const Event& event : berth.happenings().events)
        CHECK(event.kind == EventKind::step);
}

TEST_CASE("what falls into a silence is not told, because nobody knows when it was") {
    CHECK(Berth(24).step(10.5, 25).silent(10, 11).happenings().events.empty());
}

TEST_CASE("tide and day are no events, and are taken off") {
    Berth berth(7 * 24);
    for (std::size_t i = 0; i < berth.trace.time.size(); ++i) {
        const double h = static_cast<double>(i) / 360;
        berth.trace.potential_mv[i] +=
            25 * std::cos(h / 12.42 * 6.2831853) + 6 * std::cos(h / 24 * 6.2831853);
    }
    const Happenings found = berth.happenings();
    CHECK(found.events.empty());
    CHECK(found.cycles.found.size() == 2);
    for (std::size_t i = 0; i < found.undisturbed_mv.size(); i += 1000)
        CHECK(std::abs(found.undisturbed_mv[i] + 980) < 5);
}

TEST_CASE("a single odd reading is no event") {
    Berth berth(24);
    berth.trace.potential_mv[4000] = -400;
    berth.trace.potential_mv[6000] = 2047;
    CHECK(berth.happenings().events.empty());
}

TEST_CASE("noise that resembles itself is no event, and a step in it is") {
    Berth berth(96, 0);
    std::mt19937 engine(23);
    std::normal_distribution<double> noise;
    double wander = 0;
    for (double& each : berth.trace.potential_mv)
        each += 2 * (wander = 0.9 * wander + std::sqrt(1 - 0.81) * noise(engine));
    CHECK(berth.happenings().events.empty());
    const Happenings found = berth.step(50, 16).happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::step, 50));
}

TEST_CASE("thinning water ramps, and is no event") {
    // Nernst: 57 mV a decade of the chloride, which a tide makes ten times thinner in an hour or
    // two.
    Berth berth(7 * 24);
    for (std::size_t i = 0; i < berth.trace.time.size(); ++i) {
        const double h = static_cast<double>(i) / 360;
        const double thin = 0.5 + 0.5 * std::tanh(3 * std::cos(h / 12.42 * 6.2831853));
        berth.trace.potential_mv[i] -= 57 * std::log10(1 + 9 * thin);
    }
    CHECK(berth.happenings().events.empty());
}

TEST_CASE("there and back within two readings is a slip, unless it comes again") {
    Berth once(24);
    once.step(6, 15).step(6 + 20.0 / 3600, -15);
    CHECK(once.happenings().events.empty());
    Berth again(24);
    for (int pulse = 0; pulse < 6; ++pulse)
        again.step(6 + pulse * 0.5, 15).step(6 + pulse * 0.5 + 20.0 / 3600, -15);
    const Happenings found = again.happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::repeated_load, 6));
}

TEST_CASE("new anodes settle") {
    Berth berth(72);
    for (std::size_t i = 0; i < berth.trace.time.size(); ++i)
        berth.trace.potential_mv[i] += 90 * std::exp(-static_cast<double>(i) / 360 / 6);
    const Happenings found = berth.happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::settling, 0));
    REQUIRE(found.settling.size() == 1);
    CHECK(found.settling[0].size_mv == doctest::Approx(90).epsilon(0.05));
    CHECK(found.settling[0].time_constant_h == 6);
    CHECK(std::isnan(found.undisturbed_mv[23 * 360]));
    CHECK(std::abs(found.undisturbed_mv[25 * 360] + 980) < 5);
}

TEST_CASE("the day after launch settles though nothing shows it, and is told once") {
    const Refit launch = refit("launched", -4, -4, "1969-12-31T20:00:00Z");
    const Happenings found = Berth(48).happenings({launch});
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::settling, 0));
    CHECK(found.events[0].why.find("launched 1969-12-31T20:00:00Z") != std::string::npos);
    CHECK(found.events[0].why.find("until 1970-01-01T20:00:00Z") != std::string::npos);
    CHECK(std::isnan(found.events[0].change_mv));
    CHECK(std::isnan(found.undisturbed_mv[19 * 360]));
    CHECK_FALSE(std::isnan(found.undisturbed_mv[21 * 360]));
    CHECK(found.settling.empty());
}

TEST_CASE("of a launch that only a day is known of, all that may be a day after it settles") {
    const Refit launch = refit("launched", 0, 24, "1970-01-01");
    const Happenings found = Berth(96).happenings({launch});
    REQUIRE(found.events.size() == 1);
    CHECK(std::isnan(found.undisturbed_mv[47 * 360]));
    CHECK_FALSE(std::isnan(found.undisturbed_mv[49 * 360]));
}

TEST_CASE("a refit long before or after the readings is none of theirs") {
    const Refit before = refit("launched", -24, -24, "before");
    const Refit after = refit("launched", 49, 49, "after");
    CHECK(Berth(48).happenings({before, after}).events.empty());
}

TEST_CASE("new anodes in the midst of a record settle, and are another level from there on") {
    Berth berth(120);
    for (std::size_t i = 60 * 360; i < berth.trace.time.size(); ++i)
        berth.trace.potential_mv[i] +=
            -70 + 120 * std::exp(-(static_cast<double>(i) / 360 - 60) / 4);
    const Refit anodes = refit("new anode: shaft", 59, 59, "1970-01-03T11:00:00Z");
    const Happenings found = berth.silent(59, 60).happenings({anodes});
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::settling, 60));
    CHECK(found.events[0].change_mv == doctest::Approx(-120).epsilon(0.05));
    REQUIRE(found.settling.size() == 1);
    CHECK(found.settling[0].time_constant_h == 4);
    CHECK(found.undisturbed_blocks.level.back() > found.undisturbed_blocks.level.front());
    CHECK(std::abs(found.undisturbed_mv.back() + 1050) < 5);
    CHECK(std::isnan(found.undisturbed_mv[70 * 360]));
}

TEST_CASE("cell B that parts from cell A is told") {
    Berth berth(24);
    berth.trace.cell_b_mv = berth.trace.potential_mv;
    berth.add(&Trace::cell_b_mv, 0, 1e9, 4).add(&Trace::cell_b_mv, 9, 1e9, 14);
    const Happenings found = berth.happenings();
    REQUIRE(found.events.size() == 1);
    CHECK(is_at(found.events[0], EventKind::cells_disagree, 9));
}

TEST_CASE("traces that tell nothing say nothing") {
    for (const double hours : {0.0, 0.003, 0.01}) {
        const Happenings found = Berth(hours).happenings();
        CHECK(found.events.empty());
        CHECK(found.undisturbed_mv.size() == found.shows_hull.size());
    }
    Berth missing(24);
    for (double& each : missing.trace.potential_mv)
        each = missing_value;
    CHECK(missing.happenings().events.empty());
}

TEST_CASE("any values at all are borne") {
    std::mt19937 engine(41);
    std::uniform_int_distribution<int> which(0, 9);
    std::uniform_real_distribution<double> any(-3000, 3000);
    for (int round = 0; round < 200; ++round) {
        Berth berth(0.5);
        Trace& trace = berth.trace;
        trace.cell_b_mv.assign(trace.time.size(), -970);
        for (std::size_t i = 0; i < trace.time.size(); ++i) {
            const int chance = which(engine);
            if (chance < round % 10) trace.potential_mv[i] = any(engine);
            if (chance == 0) trace.potential_mv[i] = missing_value;
            if (chance < round % 7) trace.ac_mv[i] = std::abs(any(engine));
            if (chance == 1) trace.ac_mv[i] = missing_value;
            if (chance == 2) trace.cell_b_mv[i] = any(engine);
        }
        const Happenings found = berth.happenings();
        CHECK(std::is_sorted(found.events.begin(), found.events.end(),
                             [](const Event& a, const Event& b) { return a.time < b.time; }));
        CHECK(found.undisturbed_mv.size() == trace.time.size());
    }
}
