#include "judging/lead_asking.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

LiveLine reading(double potential_mv, double ac_mv = missing_value) {
    LiveLine line{};
    line.potential_mv = potential_mv;
    line.ac_mv = ac_mv;
    return line;
}

LiveLine look(double potential_mv) {
    LiveLine line = reading(potential_mv);
    line.looked_ago_s = 0;
    return line;
}

/// After a look at -1000 mV and 4 mV of AC, long enough for another.
LeadAsking looked() {
    LeadAsking asking;
    asking.take(reading(-1000, 4), true, false);
    asking.take(look(-1000), true, false);
    for (int i = 0; i < 20; ++i)
        CHECK_FALSE(asking.take(reading(-1002, i % 10 == 0 ? 6 : missing_value), true, false));
    return asking;
}

int readings_until_asked(LeadAsking& asking, const LiveLine& line, bool shows_metal, bool urgent) {
    for (int i = 1; i <= 100; ++i)
        if (asking.take(line, shows_metal, urgent)) return i;
    return 0;
}

} // namespace

TEST_CASE("a potential that jumps has the leads looked at, and one that is none has not") {
    LeadAsking asking = looked();
    CHECK_FALSE(asking.take(reading(-1004), true, false));
    CHECK_FALSE(asking.take(reading(-500), false, false));
    CHECK(asking.take(reading(-1006), true, false));
}

TEST_CASE("where a jump brings nothing new it is asked again, and not at once") {
    LeadAsking asking = looked();
    CHECK(asking.take(reading(-700), true, false));
    CHECK(readings_until_asked(asking, reading(-700), true, false) == readings_between_asked_looks);
    asking.take(look(-700), true, false);
    CHECK(readings_until_asked(asking, reading(-700), true, false) == 0);
}

TEST_CASE("AC that comes or goes may be the hum of a lead that has opened") {
    LeadAsking asking = looked();
    CHECK(asking.take(reading(-1000, 14), true, false));
    asking.take(look(-1000), true, false);
    CHECK(readings_until_asked(asking, reading(-1000, 14), true, false) == 0);
    CHECK(asking.take(reading(-1000, 4), true, false));
}

TEST_CASE("where somebody waits for it the leads are looked at more often") {
    LeadAsking asking = looked();
    CHECK(asking.take(reading(-1000), false, true));
    CHECK(readings_until_asked(asking, reading(-1000), false, true) ==
          readings_between_urgent_looks);
}

TEST_CASE("of a logger that records nothing but what is urgent disturbs the readings") {
    LeadAsking asking = looked();
    LiveLine kept = reading(-1000);
    kept.recorded = true;
    CHECK_FALSE(asking.take(kept, true, false));
    CHECK(readings_until_asked(asking, reading(-700, 30), true, false) == 0);
    CHECK(asking.take(reading(-700), true, true));
}

TEST_CASE("a logger that has just gone live looks without being asked") {
    LeadAsking asking;
    CHECK(readings_until_asked(asking, reading(-1000), false, true) ==
          readings_between_urgent_looks);
}
