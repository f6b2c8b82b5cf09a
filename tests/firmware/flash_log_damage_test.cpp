#include "log_steps.h"

#include <algorithm>

using namespace quaycell;
using namespace quaycell::test;

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

TEST_CASE("the first slot that reads blank after a restart is made void: a cut may have begun it") {
    MemoryFlash flash(4);
    Log before = mounted(flash);
    CHECK(arm(before, wire::FullPolicy::stop_when_full));
    CHECK(append(before, 1));
    Log log = mounted(flash);
    CHECK(log.next_sequence() == 3);
    CHECK(append(log, 2));
    CHECK(std::all_of(flash.slot(3), flash.slot(4), [](uint8_t byte) { return byte == 0; }));
    CHECK(wire::from_bytes<wire::RecordHead>(flash.slot(4)).sequence == 4);

    SUBCASE("once in a life") {
        CHECK(append(log, 3));
        CHECK(log.next_sequence() == 6);
    }
    SUBCASE("and a cut in that is mended by the next restart") {
        std::fill_n(flash.slot(3), 2 * wire::record_size, uint8_t{0xFF});
        Log again = mounted(flash);
        CHECK(append(again, 2));
        CHECK(again.next_sequence() == 5);
        CHECK(readings_in(again) == counting(1, 3));
    }
}

TEST_CASE("the last slot of a full memory may be the void one; then nothing more fits") {
    MemoryFlash flash(2);
    Log before = mounted(flash);
    CHECK(arm(before, wire::FullPolicy::stop_when_full));
    for (uint32_t t = 0; t < 2 * 127 - 2; ++t)
        CHECK(append(before, t));
    Log log = mounted(flash);
    CHECK(log.recording().on);
    CHECK_FALSE(append(log, 1000));
    CHECK(log.full());
    CHECK_FALSE(log.recording().on);
    CHECK(readings_in(log) == counting(0, 2 * 127 - 2));
}

TEST_CASE(
    "a newest header that nothing stands behind is not believed, and its sector erased again") {
    MemoryFlash flash(4);
    Log before = mounted(flash);
    CHECK(arm(before, wire::FullPolicy::stop_when_full));
    for (uint32_t t = 0; t < 126; ++t)
        CHECK(append(before, t));
    SUBCASE("when it only goes on") {
        plant_header(flash, 128, 0);
        Log log = mounted(flash);
        CHECK(log.next_sequence() == 128);
        CHECK(log.tail_sequence() == 0);
        CHECK(log.recording().on);
        const uint32_t erases = flash.erases;
        wait_ready(log);
        CHECK(flash.erases == erases + 1);
        CHECK(append(log, 126));
        CHECK(readings_in(log) == counting(0, 127));
    }
    SUBCASE("when it is the only one, and its number stays in force") {
        flash = MemoryFlash(4);
        plant_header(flash, 0x4000);
        Log log = mounted(flash);
        CHECK(log.next_sequence() == 0x4000);
        CHECK(log.tail_sequence() == 0x4000);
        CHECK_FALSE(log.recording().on);
    }
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
    SUBCASE("with a tail that the memory cannot hold") {
        plant_header(flash, 128);
        auto header = wire::from_bytes<wire::SectorHeader>(flash.slot(128));
        header.tail_sequence = 0x80000080U;
        wire::seal(header);
        wire::to_bytes(header, flash.slot(128));
    }
    SUBCASE("another kind of record") {
        wire::Reading r = reading_at(1);
        wire::seal(r);
        flash.program(0, reinterpret_cast<uint8_t*>(&r), sizeof r);
    }
    CHECK(mounted(flash).next_sequence() == 0);
}

TEST_CASE("an order under a number that is not its place's is not followed") {
    MemoryFlash flash(4);
    Log before = mounted(flash);
    CHECK(arm(before, wire::FullPolicy::stop_when_full));
    CHECK(append(before, 1));
    wire::Stop torn = {};
    torn.head.kind = static_cast<uint8_t>(wire::RecordKind::stop);
    torn.head.sequence = 3;
    SUBCASE("though its checksum fits") {
        torn.head.sequence |= 0x4000;
        wire::seal(torn);
        wire::to_bytes(torn, flash.slot(3));
        CHECK(mounted(flash).recording().on);
    }
    SUBCASE("while the same order under its own is") {
        wire::seal(torn);
        wire::to_bytes(torn, flash.slot(3));
        CHECK_FALSE(mounted(flash).recording().on);
    }
    CHECK(mounted(flash).next_sequence() == 4);
}

TEST_CASE("sequence numbers run through the end of their 32 bits") {
    MemoryFlash flash(4);
    plant_sector(flash, 0xFFFFFF80U, wire::state_recording | wire::state_overwrite_oldest);
    Log log = mounted(flash);
    CHECK(log.next_sequence() == 0xFFFFFF82U);
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

TEST_CASE("a power cut anywhere loses at most the record in flight") {
    for (const wire::FullPolicy policy :
         {wire::FullPolicy::stop_when_full, wire::FullPolicy::overwrite_oldest}) {
        for (uint32_t cut = 1;; ++cut) {
            CAPTURE(cut);
            MemoryFlash flash(4);
            plant_sector(flash, 0xFFFFFE00U, 0);
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
            } catch (const PowerCut&) {
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

TEST_CASE(
    "a power cut while forgetting leaves all of it or nothing of it, and no half deployment") {
    for (uint32_t cut = 1;; ++cut) {
        CAPTURE(cut);
        MemoryFlash flash(4);
        bool through = false;
        Log log = mounted(flash);
        CHECK(arm(log, wire::FullPolicy::stop_when_full));
        for (uint32_t t = 0; t < 150; ++t)
            CHECK(append(log, t));
        flash.cut_after(cut);
        try {
            through = forget(log);
        } catch (const PowerCut&) {
        }
        Log again = mounted(flash);
        const std::vector<uint32_t> found = readings_in(again);
        CHECK((found.empty() || (found == counting(0, 150) && !through)));
        CHECK(again.recording().on == !found.empty());
        CHECK(append(again, 1000));
        if (through) break;
    }
}
