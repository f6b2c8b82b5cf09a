#include "logger/plan.h"

#include <doctest/doctest.h>

using namespace quaycell;
using logger::burst_ac;
using logger::burst_stimulus_a;
using logger::burst_stimulus_b;

TEST_CASE("how much a reading measures goes by the time until the next") {
    struct {
        uint16_t interval_s;
        uint8_t conversions;
        bool all_bursts;
    } const rows[] = {{1, 1, false}, {2, 2, false}, {3, 2, false},
                      {4, 4, true},  {10, 4, true}, {3600, 4, true}};
    for (const auto& row : rows) {
        CAPTURE(row.interval_s);
        CHECK(logger::plan_for(row.interval_s).conversions == row.conversions);
        CHECK(logger::plan_for(row.interval_s).all_bursts == row.all_bursts);
    }
}

TEST_CASE("at ten seconds and more every reading has AC, and one in ten minutes the stimulus") {
    logger::BurstsDue due;
    due.begin();
    CHECK(due.take(10, true, false) == (burst_ac | burst_stimulus_a | burst_stimulus_b));
    int stimuli = 0;
    for (uint32_t tick = 20; tick <= 6000; tick += 10) {
        const uint8_t taken = due.take(tick, true, false);
        CHECK((taken & burst_ac) != 0);
        if ((taken & burst_stimulus_a) == 0) continue;
        ++stimuli;
        CHECK(tick % 600 == 0);
    }
    CHECK(stimuli == 10);
}

TEST_CASE("at one second AC comes every ten seconds and each burst has a reading of its own") {
    logger::BurstsDue due;
    due.begin();
    CHECK(due.take(595, false, false) == burst_ac);
    CHECK(due.take(596, false, false) == burst_stimulus_a);
    CHECK(due.take(597, false, false) == burst_stimulus_b);
    CHECK(due.take(598, false, false) == 0);
    CHECK(due.take(599, false, false) == 0);
    CHECK(due.take(600, false, false) == burst_ac);
    CHECK(due.take(601, false, false) == burst_stimulus_a);
    CHECK(due.take(602, false, false) == burst_stimulus_b);
    for (uint32_t tick = 603; tick < 610; ++tick)
        CHECK(due.take(tick, false, false) == 0);
    CHECK(due.take(610, false, false) == burst_ac);
}

TEST_CASE("while a host looks on, the leads are looked at every minute") {
    logger::BurstsDue due;
    due.begin();
    due.take(1, true, true);
    CHECK((due.take(59, true, true) & burst_stimulus_a) == 0);
    CHECK((due.take(60, true, true) & burst_stimulus_a) != 0);
    CHECK((due.take(119, true, true) & burst_stimulus_a) == 0);
    CHECK((due.take(120, true, true) & burst_stimulus_a) != 0);
}
