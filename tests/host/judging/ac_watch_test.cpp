#include "judging/ac_watch.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

/// The rule of practice "ac-stop" is 50 mV rms.
struct Watched {
    LiveAc measured(double mv, LeadState last_look = LeadState::good) {
        LiveLine line = next(last_look);
        line.ac_mv = mv;
        watch.take(line);
        return watch.now();
    }

    LiveAc looked(LeadState found) {
        LiveLine line = next(found);
        line.looked_ago_s = 0;
        watch.take(line);
        return watch.now();
    }

    LiveLine next(LeadState lead) {
        LiveLine line{};
        line.time = from_unix_s(++second);
        line.lead = lead;
        return line;
    }

    AcWatch watch;
    std::uint32_t second = 1'780'000'000;
};

} // namespace

TEST_CASE("AC above the limit is perhaps so until a look finds the lead closed") {
    Watched ac;
    const LiveAc first = ac.measured(120);
    CHECK_FALSE(first.too_high);
    CHECK(first.is_perhaps_too_high());
    CHECK(first.is_danger());
    const Instant then = from_unix_s(ac.second);
    CHECK_FALSE(ac.measured(3).too_high); // it has gone, and is not forgotten for that
    const LiveAc certain = ac.looked(LeadState::good);
    CHECK(certain.too_high);
    CHECK(certain.highest_mv == 120);
    CHECK(certain.highest_at == then);
    CHECK_FALSE(certain.is_perhaps_too_high());
    CHECK(ac.measured(3).too_high);
}

TEST_CASE("once it is known to be too high, only more of it is anything new") {
    Watched ac;
    ac.measured(120);
    ac.looked(LeadState::good);
    CHECK_FALSE(ac.measured(110).is_perhaps_too_high());
    CHECK(ac.measured(130).is_perhaps_too_high());
    CHECK(ac.looked(LeadState::good).highest_mv == 130);
}

TEST_CASE("of a cell that dries out it counts, too") {
    Watched ac;
    ac.measured(120);
    CHECK(ac.looked(LeadState::drying).too_high);
}

TEST_CASE("the hum of an open lead is told as long as it may be more, and then forgotten") {
    Watched ac;
    ac.measured(120);
    CHECK(ac.looked(LeadState::not_good).is_perhaps_too_high());
    CHECK(ac.measured(3, LeadState::not_good).is_perhaps_too_high()); // of nothing at all
    const LiveAc closed = ac.looked(LeadState::good);
    CHECK_FALSE(closed.too_high);
    CHECK(closed.is_perhaps_too_high());
    const LiveAc after = ac.measured(3);
    CHECK_FALSE(after.is_danger());
    CHECK(after.highest_mv == 3);
}

TEST_CASE("AC that is still there when the lead is closed again counts with the next look") {
    Watched ac;
    ac.looked(LeadState::not_good);
    ac.measured(120, LeadState::not_good);
    ac.looked(LeadState::good);
    CHECK_FALSE(ac.measured(90).too_high);
    const LiveAc certain = ac.looked(LeadState::good);
    CHECK(certain.too_high);
    CHECK(certain.highest_mv == 90);
}

TEST_CASE("of what waits for a look the highest counts") {
    Watched ac;
    ac.measured(120);
    ac.measured(70);
    CHECK(ac.looked(LeadState::good).highest_mv == 120);
}

TEST_CASE("AC below the limit needs no look, and with an open lead it is no AC of the hull") {
    Watched ac;
    CHECK(ac.measured(20).highest_mv == 20);
    ac.looked(LeadState::not_good);
    const LiveAc open = ac.measured(40, LeadState::not_good);
    CHECK(open.last_mv == 40);
    CHECK(open.highest_mv == 20);
    CHECK_FALSE(open.is_danger());
}
