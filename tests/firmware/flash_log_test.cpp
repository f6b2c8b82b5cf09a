#include "flashlog/flash_log.h"

#include "memory_flash.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <vector>

using namespace quaycell;
using test::MemoryFlash;
using Log = flashlog::FlashLog<MemoryFlash>;

namespace {

constexpr uint32_t device = 7;

wire::Reading reading_at(uint32_t ticks_s) {
    wire::Reading r = {};
    r.head.kind = static_cast<uint8_t>(wire::RecordKind::reading);
    r.head.boot = 3;
    r.head.ticks_s = ticks_s;
    return r;
}

void wait_ready(Log& log) {
    for (int polls = 0; polls < 100; ++polls)
        if (log.ready()) return;
    FAIL("the log never gets ready");
}

bool append(Log& log, uint32_t ticks_s) {
    wait_ready(log);
    wire::Reading r = reading_at(ticks_s);
    return log.append(r, 0);
}

bool arm(Log& log, wire::FullPolicy policy, uint16_t interval_s = 10) {
    for (int polls = 0; polls < 100 && !log.ready_to_arm(); ++polls) {
    }
    wire::Arm a = {};
    a.head.kind = static_cast<uint8_t>(wire::RecordKind::arm);
    a.interval_s = interval_s;
    a.policy = static_cast<uint8_t>(policy);
    return log.arm(a);
}

bool stop(Log& log) {
    wait_ready(log);
    wire::Stop s = {};
    s.head.kind = static_cast<uint8_t>(wire::RecordKind::stop);
    s.reason = static_cast<uint8_t>(wire::StopReason::asked);
    return log.stop(s);
}

Log mounted(MemoryFlash& flash) {
    flash.power_up();
    Log log(flash);
    log.mount(device);
    return log;
}

/// The ticks of all whole readings between tail and end.
std::vector<uint32_t> readings_in(Log& log) {
    wait_ready(log);
    std::vector<uint32_t> ticks;
    for (uint32_t s = log.tail_sequence(); s != log.next_sequence(); ++s) {
        uint8_t bytes[wire::record_size];
        log.read(s, bytes);
        if (!wire::is_valid_record(bytes)) continue;
        const auto head = wire::from_bytes<wire::RecordHead>(bytes);
        CHECK(head.sequence == s);
        if (head.kind == static_cast<uint8_t>(wire::RecordKind::reading))
            ticks.push_back(head.ticks_s);
    }
    return ticks;
}

std::vector<uint32_t> counting(uint32_t from, uint32_t to) {
    std::vector<uint32_t> numbers;
    for (uint32_t n = from; n < to; ++n)
        numbers.push_back(n);
    return numbers;
}

/// A flash whose only whole sector has this number.
void plant_header(MemoryFlash& flash, uint32_t sequence, uint8_t state = wire::state_recording) {
    wire::SectorHeader header = {};
    header.head.kind = static_cast<uint8_t>(wire::RecordKind::sector_header);
    header.head.sequence = sequence;
    header.tail_sequence = sequence;
    header.erase_count = 5;
    header.interval_s = 60;
    header.layout = wire::record_layout;
    header.state = state;
    wire::seal(header);
    flash.program(sequence % (flash.sector_count() * 128U) * 32,
                  reinterpret_cast<uint8_t*>(&header), sizeof header);
}

} // namespace

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

TEST_CASE("a slot that does not take the record is left behind with its number") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(append(log, 1));
    flash.dead_slots.insert(2 * 32);
    CHECK(append(log, 2));
    CHECK(log.next_sequence() == 4);
    CHECK(wire::from_bytes<wire::Reading>(flash.slot(3)).head.sequence == 3);
    CHECK(readings_in(log) == counting(1, 3));
}

TEST_CASE("a flash that takes nothing any more gives up after a few slots") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(append(log, 1));
    for (uint32_t s = 2; s < 100; ++s)
        flash.dead_slots.insert(s * 32);
    CHECK_FALSE(append(log, 2));
    CHECK(log.next_sequence() == 6);
}

TEST_CASE("a sector whose header does not read back is erased once more before it is used") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    flash.dead_slots.insert(0);
    CHECK_FALSE(append(log, 1));
    flash.dead_slots.clear();
    CHECK(append(log, 2));
    CHECK(readings_in(log) == counting(2, 3));
}

TEST_CASE("a torn slot is not used again") {
    MemoryFlash flash(4);
    {
        Log log = mounted(flash);
        CHECK(arm(log, wire::FullPolicy::stop_when_full));
        CHECK(append(log, 1));
    }
    *(flash.slot(3) + 20) = 0x7F; // one bit of a record that the power cut short
    Log log = mounted(flash);
    CHECK(log.next_sequence() == 4);
    CHECK(append(log, 2));
    CHECK(readings_in(log) == counting(1, 3));
}

TEST_CASE("blank slots in the middle are a gap, not the end") {
    MemoryFlash flash(4);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    for (uint32_t t = 0; t < 10; ++t)
        CHECK(append(log, t));
    std::fill_n(flash.slot(5), wire::record_size, uint8_t{0xFF});
    CHECK(mounted(flash).next_sequence() == log.next_sequence());
}

TEST_CASE("a sector that lost its header loses only its own records") {
    MemoryFlash flash(8);
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    for (uint32_t t = 0; t < 400; ++t)
        CHECK(append(log, t));
    std::fill_n(flash.slot(128), 4096, uint8_t{0xFF});
    Log again = mounted(flash);
    CHECK(again.next_sequence() == log.next_sequence());
    CHECK(again.tail_sequence() == log.tail_sequence());
    CHECK(readings_in(again).size() == 400 - 127);
}

TEST_CASE("a header that belongs to another sector, or is no header, is not believed") {
    MemoryFlash flash(4);
    SUBCASE("displaced") {
        plant_header(flash, 128);
        std::copy_n(flash.slot(128), wire::record_size, flash.slot(0));
        std::fill_n(flash.slot(128), wire::record_size, uint8_t{0xFF});
    }
    SUBCASE("in the middle of a sector") {
        plant_header(flash, 130);
    }
    SUBCASE("broken") {
        plant_header(flash, 128);
        *(flash.slot(128) + 13) ^= 0x01;
    }
    SUBCASE("another kind of record") {
        wire::Reading r = reading_at(1);
        wire::seal(r);
        flash.program(0, reinterpret_cast<uint8_t*>(&r), sizeof r);
    }
    CHECK(mounted(flash).next_sequence() == 0);
}

TEST_CASE("sequence numbers run through the end of their 32 bits") {
    MemoryFlash flash(4);
    plant_header(flash, 0xFFFFFF80U, wire::state_recording | wire::state_overwrite_oldest);
    Log log = mounted(flash);
    CHECK(log.next_sequence() == 0xFFFFFF81U);
    for (uint32_t t = 0; t < 300; ++t)
        CHECK(append(log, t));
    CHECK(log.tail_sequence() == 0xFFFFFF80U);
    CHECK(log.next_sequence() < 0x200);
    Log again = mounted(flash);
    CHECK(again.next_sequence() == log.next_sequence());
    CHECK(readings_in(again) == counting(0, 300));
    for (uint32_t t = 300; t < 1000; ++t)
        CHECK(append(again, t));
    CHECK(again.tail_sequence() < 0x1000);
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

TEST_CASE("a power cut anywhere loses at most the record in flight") {
    for (const wire::FullPolicy policy :
         {wire::FullPolicy::stop_when_full, wire::FullPolicy::overwrite_oldest}) {
        for (uint32_t cut = 1;; ++cut) {
            CAPTURE(cut);
            MemoryFlash flash(4);
            plant_header(flash, 0xFFFFFE00U, 0);
            uint32_t acknowledged = 0;
            bool through = true;
            Log log = mounted(flash);
            CHECK(arm(log, policy));
            for (uint32_t t = 0; t < 123; ++t)
                CHECK(append(log, t));
            acknowledged = 123;
            // From here: the end of a sector, the header of the next, the erase ahead of it.
            flash.cut_after(cut);
            try {
                for (uint32_t t = acknowledged; t < 140; ++t) {
                    if (append(log, t)) acknowledged = t + 1;
                }
            } catch (const test::PowerCut&) {
                through = false;
            }
            Log again = mounted(flash);
            CHECK(again.recording().on);
            std::vector<uint32_t> found = readings_in(again);
            const bool in_flight = found.size() == acknowledged + 1;
            CHECK(found == counting(0, acknowledged + (in_flight ? 1 : 0)));
            CHECK(append(again, 1000));
            found.push_back(1000);
            CHECK(readings_in(again) == found);
            if (through) break;
        }
    }
}
