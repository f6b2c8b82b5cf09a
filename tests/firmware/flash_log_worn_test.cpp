// Sectors that do not erase or do not take what is programmed. Numbers are sectors * 128 + slot.
#include "log_steps.h"

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr uint32_t slots = wire::slots_per_sector;

wire::SectorHeader header_at(MemoryFlash& flash, uint32_t sector) {
    const uint8_t* slot = flash.slot(sector * slots);
    REQUIRE(wire::is_valid_record(slot));
    return wire::from_bytes<wire::SectorHeader>(slot);
}

void wear_out_programs(MemoryFlash& flash, uint32_t sector, uint32_t from_slot = 0) {
    for (uint32_t slot = from_slot; slot < slots; ++slot)
        flash.dead_slots.insert((sector * slots + slot) * wire::record_size);
}

/// Appends readings that tell these ticks.
void append_all(Log& log, uint32_t from, uint32_t to) {
    for (uint32_t ticks = from; ticks < to; ++ticks)
        CHECK(append(log, ticks));
}

} // namespace

TEST_CASE("the first sector of a fresh log is passed over when it is worn") {
    MemoryFlash flash(16);
    SUBCASE("does not take a header") {
        wear_out_programs(flash, 0);
    }
    SUBCASE("has a bit that does not erase") {
        *flash.slot(100) = 0x7F;
        flash.unerasable.insert(0);
    }
    Log log = mounted(flash);
    CHECK(append(log, 1));
    CHECK(log.next_sequence() == slots + 2);
    CHECK(header_at(flash, 1).skipped == 1);
    CHECK(header_at(flash, 1).skips == 1);
    CHECK(readings_in(log) == counting(1, 2));
    Log again = mounted(flash);
    CHECK(again.next_sequence() == slots + 2);
    CHECK(append(again, 2));
    CHECK(readings_in(again) == counting(1, 3));
}

TEST_CASE("no record is lost on the way past a worn sector") {
    MemoryFlash flash(16);
    SUBCASE("that does not take a header") {
        wear_out_programs(flash, 1);
    }
    SUBCASE("that does not erase") {
        *flash.slot(slots + 5) = 0x7F;
        flash.unerasable.insert(1);
    }
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    append_all(log, 0, 300);
    CHECK(readings_in(log) == counting(0, 300));
    CHECK(header_at(flash, 0).skipped == 0);
    CHECK(header_at(flash, 2).skipped == 1);
    CHECK(header_at(flash, 3).skipped == 0);
    CHECK(header_at(flash, 3).skips == 1);
    Log again = mounted(flash);
    CHECK(again.recording().on);
    CHECK(readings_in(again) == counting(0, 300));
}

TEST_CASE("a sector that takes no more records is left behind the fourth that it did not take") {
    MemoryFlash flash(16);
    wear_out_programs(flash, 0, 50);
    Log log = mounted(flash);
    append_all(log, 0, 100);
    CHECK(readings_in(log) == counting(0, 100));
    CHECK(header_at(flash, 1).skipped == wire::rest_skipped);
    CHECK(header_at(flash, 1).skips == 1);
    CHECK(log.next_sequence() == slots + 1 + 100 - 49);
}

TEST_CASE("eight worn sectors in a row are passed over") {
    MemoryFlash flash(16);
    for (uint32_t sector = 1; sector <= 8; ++sector)
        wear_out_programs(flash, sector);
    Log log = mounted(flash);
    append_all(log, 0, 200);
    CHECK(readings_in(log) == counting(0, 200));
    CHECK(header_at(flash, 9).skipped == 8);
    CHECK(readings_in(log) == counting(0, 200));
    Log again = mounted(flash);
    CHECK(readings_in(again) == counting(0, 200));
}

TEST_CASE("a flash that takes nothing any more keeps what it holds, and is left alone") {
    MemoryFlash flash(16);
    Log log = mounted(flash);
    append_all(log, 0, 10);
    flash.takes_nothing = true;
    CHECK_FALSE(append(log, 10));
    const uint32_t erases = flash.erases;
    for (uint32_t i = 0; i < 50; ++i)
        CHECK_FALSE(append(log, 11 + i));
    CHECK(flash.erases == erases);
    CHECK(readings_in(log) == counting(0, 10));
    flash.takes_nothing = false;
    Log again = mounted(flash);
    CHECK(append(again, 10));
    CHECK(readings_in(again) == counting(0, 11));
}

TEST_CASE(
    "a ring meets a worn sector on every trip, and each time gives up one more than it would") {
    MemoryFlash flash(16);
    wear_out_programs(flash, 5);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::overwrite_oldest));
    const uint32_t count = 3 * 16 * slots;
    append_all(log, 0, count);
    // All but the sector ahead, the worn one, and what the newest still has room for.
    const std::vector<uint32_t> held = readings_in(log);
    CHECK(held.size() >= 13U * (slots - 1));
    CHECK(held == counting(count - static_cast<uint32_t>(held.size()), count));
    CHECK(header_at(flash, 6).skipped == 1);
    CHECK(header_at(flash, 6).skips == 3);
    Log again = mounted(flash);
    CHECK(readings_in(again) == held);
}

TEST_CASE("a memory whose last sectors are worn is full before them, and says so") {
    MemoryFlash flash(16);
    for (const uint32_t sector : {14U, 15U}) {
        *flash.slot(sector * slots + 9) = 0;
        flash.unerasable.insert(sector);
    }
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    uint32_t count = 0;
    while (append(log, count))
        ++count;
    CHECK(count == 14U * (slots - 1) - 2);
    CHECK(log.full());
    CHECK(log.free_slots() == 0);
    CHECK_FALSE(log.recording().on);
    const auto last = wire::from_bytes<wire::Stop>(flash.slot(14 * slots - 1));
    CHECK(last.reason == static_cast<uint8_t>(wire::StopReason::memory_full));
    Log again = mounted(flash);
    CHECK_FALSE(append(again, 0));
    CHECK(again.full());
    CHECK(readings_in(again) == counting(0, count));
    CHECK(arm(again, wire::FullPolicy::stop_when_full));
    CHECK(append(again, 7));
    CHECK(readings_in(again) == counting(7, 8));
}
