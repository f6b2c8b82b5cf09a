#include "log_steps.h"

#include <algorithm>

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("a virgin flash is an empty log that begins at sequence 0") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(log.next_sequence() == 0);
    CHECK(log.tail_sequence() == 0);
    CHECK_FALSE(log.recording().on);
    CHECK_FALSE(log.full());
    CHECK(flash.erases == 0);

    SUBCASE("the first record erases the sector, heads it, and takes slot 1") {
        CHECK(append(log, 11));
        CHECK(log.next_sequence() == 2);
        const auto header = wire::from_bytes<wire::SectorHeader>(flash.slot(0));
        CHECK(wire::is_valid_record(flash.slot(0)));
        CHECK(header.head.kind == static_cast<uint8_t>(wire::RecordKind::sector_header));
        CHECK(header.head.boot == 3);
        CHECK(header.head.ticks_s == 11);
        CHECK(header.device_id == device);
        CHECK(header.erase_count == 1);
        CHECK(header.layout == wire::record_layout);
        CHECK(header.state == 0);
    }
}

TEST_CASE("a flash that does not answer takes nothing and says so") {
    MemoryFlash flash(0);
    Log log = mounted(flash);
    CHECK(log.ready());
    wire::Reading r = reading_at(1);
    CHECK_FALSE(log.append(r, 0));
    CHECK_FALSE(arm(log, wire::FullPolicy::stop_when_full));
    CHECK(log.free_slots() == 0);
    CHECK_FALSE(log.readable());
}

TEST_CASE("a restart finds what was written, in order, and goes on behind it") {
    MemoryFlash flash(8);
    {
        Log log = mounted(flash);
        CHECK(arm(log, wire::FullPolicy::stop_when_full, 30));
        for (uint32_t t = 0; t < 300; ++t)
            CHECK(append(log, t));
    }
    Log log = mounted(flash);
    CHECK(readings_in(log) == counting(0, 300));
    CHECK(log.recording().on);
    CHECK(log.recording().interval_s == 30);
    CHECK(append(log, 300));
    CHECK(readings_in(log) == counting(0, 301));
}

TEST_CASE("arming begins a sector of its own and lets everything before go") {
    MemoryFlash flash(8);
    Log log = mounted(flash);
    CHECK(append(log, 1));
    CHECK(append(log, 2));
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest, 60));
    CHECK(log.tail_sequence() == 128);
    CHECK(log.next_sequence() == 130);
    const auto header = wire::from_bytes<wire::SectorHeader>(flash.slot(128));
    CHECK(header.tail_sequence == 128);
    CHECK(header.interval_s == 60);
    CHECK(header.state == (wire::state_recording | wire::state_overwrite_oldest));
    CHECK(wire::from_bytes<wire::Arm>(flash.slot(129)).interval_s == 60);
    CHECK(wire::is_valid_record(flash.slot(129)));

    SUBCASE("and a stop ends it, also for the next restart") {
        CHECK(stop(log));
        CHECK_FALSE(log.recording().on);
        CHECK_FALSE(mounted(flash).recording().on);
    }
    SUBCASE("and arming again takes the next sector") {
        CHECK(arm(log, wire::FullPolicy::stop_when_full, 1));
        CHECK(log.tail_sequence() == 256);
        CHECK(mounted(flash).recording().policy == wire::FullPolicy::stop_when_full);
        CHECK(mounted(flash).recording().interval_s == 1);
    }
}

TEST_CASE("forgetting lets everything go and keeps how it recorded, also for the next restart") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest, 60));
    for (uint32_t t = 0; t < 200; ++t)
        CHECK(append(log, t));
    const uint32_t promised = log.free_slots();
    CHECK(forget(log));
    CHECK(log.tail_sequence() == 256);
    CHECK(log.next_sequence() == 258);
    CHECK(log.free_slots() > promised);
    CHECK_FALSE(log.recording().on);
    CHECK(readings_in(log).empty());

    const Log again = mounted(flash);
    CHECK(again.tail_sequence() == 256);
    CHECK(again.next_sequence() == 258);
    CHECK_FALSE(again.recording().on);
    CHECK(again.recording().interval_s == 60);
    CHECK(again.recording().policy == wire::FullPolicy::overwrite_oldest);
}

TEST_CASE("a full memory that is told to forget has room again") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    for (uint32_t t = 0; append(log, t);)
        ++t;
    REQUIRE(log.full());
    CHECK(forget(log));
    CHECK_FALSE(log.full());
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    CHECK(append(log, 1));
    CHECK(readings_in(log) == counting(1, 2));
}

TEST_CASE(
    "after a deployment the header alone carries the state, even when the Arm record is gone") {
    MemoryFlash flash(8);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest, 60));
    for (uint32_t t = 0; t < 200; ++t)
        CHECK(append(log, t));
    std::fill_n(flash.slot(1), wire::record_size, uint8_t{0});
    const Log again = mounted(flash);
    CHECK(again.recording().on);
    CHECK(again.recording().interval_s == 60);
    CHECK(again.recording().policy == wire::FullPolicy::overwrite_oldest);
}

TEST_CASE("a full memory ends with a record that says so, and takes nothing more") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(append(log, 0)); // so that the deployment does not begin in the first sector
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    uint32_t taken = 0;
    uint32_t promised = log.free_slots();
    while (append(log, taken)) {
        ++taken;
        CHECK(log.free_slots() == promised - taken);
    }
    CHECK(taken == promised);
    CHECK(taken == 4 * 127 - 2); // less the Arm and the Stop record
    CHECK(log.full());
    CHECK_FALSE(log.recording().on);
    CHECK(readings_in(log) == counting(0, taken));
    const auto last = wire::from_bytes<wire::Stop>(flash.slot(log.next_sequence() - 1));
    CHECK(last.head.kind == static_cast<uint8_t>(wire::RecordKind::stop));
    CHECK(last.reason == static_cast<uint8_t>(wire::StopReason::memory_full));
    CHECK_FALSE(append(log, 1));

    SUBCASE("a restart finds it full and erases nothing") {
        const uint32_t erases = flash.erases;
        Log again = mounted(flash);
        CHECK(again.full());
        CHECK(again.ready());
        CHECK_FALSE(append(again, 1));
        CHECK(flash.erases == erases);
        CHECK(readings_in(again) == counting(0, taken));
    }
    SUBCASE("arming begins anew") {
        CHECK(arm(log, wire::FullPolicy::stop_when_full));
        CHECK(log.tail_sequence() == 5 * 128);
        CHECK(append(log, 0));
    }
}

TEST_CASE("a ring lets its oldest sector go and keeps all others") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest));
    CHECK(log.free_slots() == 3 * 127 - 1);
    uint32_t t = 0;
    for (; t < 2000; ++t)
        CHECK(append(log, t));
    std::vector<uint32_t> kept = readings_in(log);
    CHECK(kept.size() > 2 * 127);
    CHECK(kept == counting(t - static_cast<uint32_t>(kept.size()), t));
    CHECK(wire::is_valid_record(flash.slot(log.tail_sequence())));

    SUBCASE("a restart finds the same tail") {
        Log again = mounted(flash);
        CHECK(again.tail_sequence() == log.tail_sequence());
        CHECK(readings_in(again) == kept);
        CHECK(append(again, t));
    }
}

TEST_CASE("the ring lets the oldest go exactly when the free slots run out") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest));
    const uint32_t tail = log.tail_sequence();
    for (uint32_t t = log.free_slots(); t > 0; --t) {
        CHECK(append(log, t));
        CHECK(log.free_slots() == t - 1);
        CHECK(log.tail_sequence() == tail);
    }
    CHECK(append(log, 0));
    CHECK(log.tail_sequence() == tail + 128);
}

TEST_CASE(
    "the next sector is erased ahead, but never the tail's when the memory must not be lost") {
    MemoryFlash flash(2);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    wait_ready(log);
    CHECK(flash.erases == 2); // the first sector, and the second ahead
    for (uint32_t t = 0; t < 127; ++t)
        CHECK(append(log, t));
    wait_ready(log);
    CHECK(flash.erases == 2); // the third would be the first again
}

TEST_CASE("erases are counted") {
    MemoryFlash flash(2);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest));
    for (uint32_t t = 0; t < 10 * 127; ++t)
        CHECK(append(log, t));
    // With the Arm record the last reading begins the eleventh sector: the first place's sixth use.
    CHECK(log.next_sequence() == 10 * 128 + 2);
    CHECK(wire::from_bytes<wire::SectorHeader>(flash.slot(1280)).erase_count == 6);
    wait_ready(log);

    SUBCASE("the neighbour's count stands in for a lost one") {
        Log again = mounted(flash); // the sector ahead is blank, its header gone with the erase
        for (uint32_t t = 0; t < 130; ++t)
            CHECK(append(again, t));
        CHECK(wire::from_bytes<wire::SectorHeader>(flash.slot(11 * 128)).erase_count == 7);
    }
}

TEST_CASE("while the flash erases, the log asks for patience and is not readable") {
    MemoryFlash flash(4);
    flash.erase_polls = 50;
    Log log = mounted(flash);
    CHECK_FALSE(log.ready());
    CHECK_FALSE(log.ready());
    CHECK_FALSE(log.readable());
    wire::Reading r = reading_at(1);
    CHECK_FALSE(log.append(r, 0));
    CHECK(log.next_sequence() == 0);
    wait_ready(log);
    CHECK(log.append(r, 0));
}
