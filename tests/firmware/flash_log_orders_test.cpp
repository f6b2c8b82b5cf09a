// Arming, stopping and running full, with the power cut at every byte of what they write, and on a
// flash that does not take it.
#include "log_steps.h"

#include <functional>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr uint32_t record_bytes = wire::record_size;

void fill(Log& log, uint32_t readings) {
    for (uint32_t t = 0; t < readings; ++t)
        CHECK(append(log, t));
}

/// Carries the order out with the power cut after each number of steps, until it comes through, and
/// has a look at what a restart finds. `readings` stand before it.
void with_cuts(uint32_t readings, const std::function<bool(Log&)>& order,
               const std::function<void(uint32_t cut, bool through, Log&)>& look) {
    for (uint32_t cut = 1;; ++cut) {
        CAPTURE(cut);
        MemoryFlash flash(4);
        Log log = mounted(flash);
        CHECK(arm(log, wire::FullPolicy::stop_when_full, 10));
        fill(log, readings);
        wait_ready(log);
        flash.cut_after(cut);
        bool through = true;
        bool carried_out = true;
        try {
            carried_out = order(log);
        } catch (const PowerCut&) {
            through = false;
        }
        CHECK(carried_out);
        Log again = mounted(flash);
        look(cut, through, again);
        if (through) return;
    }
}

} // namespace

TEST_CASE("arming that is cut short leaves the old deployment, or the new one") {
    with_cuts(
        50, [](Log& log) { return arm(log, wire::FullPolicy::overwrite_oldest, 60); },
        [](uint32_t cut, bool through, Log& again) {
            // The header is whole, and something stands behind it.
            const bool is_new = cut > record_bytes + 1;
            CHECK((is_new || !through));
            CHECK(again.recording().on);
            CHECK(again.recording().interval_s == (is_new ? 60 : 10));
            CHECK((again.recording().policy == wire::FullPolicy::overwrite_oldest) == is_new);
            CHECK(readings_in(again) == (is_new ? counting(0, 0) : counting(0, 50)));
            CHECK(append(again, 1000));
            CHECK(readings_in(again).back() == 1000);
        });
}

TEST_CASE("a stop that is cut short is no stop: recording goes on, and nothing is lost") {
    uint32_t readings = 50;
    SUBCASE("in the middle of a sector") {}
    SUBCASE("as the first record of a sector") {
        readings = 126; // with the Arm record they fill the first
    }
    with_cuts(readings, stop, [readings](uint32_t, bool through, Log& again) {
        const bool stopped = !again.recording().on;
        CHECK((stopped || !through));
        CHECK(readings_in(again) == counting(0, readings));
        CHECK(stop(again));
        CHECK_FALSE(again.recording().on);
    });
}

TEST_CASE("a full memory whose Stop record is torn is full all the same") {
    constexpr uint32_t room = 4 * 127 - 2;
    with_cuts(
        room, [](Log& log) { return !append(log, room); },
        [](uint32_t cut, bool, Log& again) {
            CHECK(readings_in(again) == counting(0, room));
            const bool blank = cut == 1; // nothing of it was written: the next record tries again
            CHECK(again.recording().on == blank);
            CHECK_FALSE(append(again, 1000));
            CHECK(again.full());
            CHECK_FALSE(again.recording().on);
        });
}

TEST_CASE("an order that the flash does not take leaves the old records readable, and can be tried "
          "again") {
    MemoryFlash flash(16);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest, 10));
    fill(log, 50);
    flash.takes_nothing = true;
    bool taken = true;
    SUBCASE("when arming") {
        taken = arm(log, wire::FullPolicy::stop_when_full, 60);
    }
    SUBCASE("when forgetting") {
        taken = forget(log);
    }
    CHECK_FALSE(taken);
    CHECK_FALSE(log.recording().on);
    CHECK(log.recording().interval_s == 10);
    CHECK(log.recording().policy == wire::FullPolicy::overwrite_oldest);
    CHECK(readings_in(log) == counting(0, 50));
    flash.takes_nothing = false;
    CHECK_FALSE(arm(log, wire::FullPolicy::stop_when_full, 60)); // and looks at the flash anew
    CHECK(arm(log, wire::FullPolicy::stop_when_full, 60));
    CHECK(append(log, 7));
    CHECK(readings_in(log) == counting(7, 8));
}
