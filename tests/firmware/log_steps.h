// What the tests of the log do again and again.
#pragma once

#include "flashlog/flash_log.h"
#include "memory_flash.h"

#include <doctest/doctest.h>
#include <vector>

namespace quaycell::test {

using Log = flashlog::FlashLog<MemoryFlash>;

constexpr uint32_t device = 7;

inline wire::Reading reading_at(uint32_t ticks_s) {
    wire::Reading r = {};
    r.head.kind = static_cast<uint8_t>(wire::RecordKind::reading);
    r.head.boot = 3;
    r.head.ticks_s = ticks_s;
    return r;
}

inline void wait_ready(Log& log) {
    for (int polls = 0; polls < 100; ++polls)
        if (log.ready()) return;
    FAIL("the log never gets ready");
}

inline bool append(Log& log, uint32_t ticks_s) {
    wait_ready(log);
    wire::Reading r = reading_at(ticks_s);
    return log.append(r, 0);
}

inline bool arm(Log& log, wire::FullPolicy policy, uint16_t interval_s = 10) {
    for (int polls = 0; polls < 100 && !log.ready_to_arm(); ++polls) {
    }
    wire::Arm a = {};
    a.head.kind = static_cast<uint8_t>(wire::RecordKind::arm);
    a.interval_s = interval_s;
    a.policy = static_cast<uint8_t>(policy);
    return log.arm(a);
}

inline bool stop(Log& log) {
    wait_ready(log);
    wire::Stop s = {};
    s.head.kind = static_cast<uint8_t>(wire::RecordKind::stop);
    s.reason = static_cast<uint8_t>(wire::StopReason::asked);
    return log.stop(s);
}

inline bool forget(Log& log) {
    for (int polls = 0; polls < 100 && !log.ready_to_arm(); ++polls) {
    }
    wire::Stop s = {};
    s.head.kind = static_cast<uint8_t>(wire::RecordKind::stop);
    s.reason = static_cast<uint8_t>(wire::StopReason::forgotten);
    return log.forget(s);
}

inline Log mounted(MemoryFlash& flash) {
    flash.power_up();
    Log log(flash);
    log.mount(device);
    return log;
}

/// The ticks of all whole readings between tail and end.
inline std::vector<uint32_t> readings_in(Log& log) {
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

inline std::vector<uint32_t> counting(uint32_t from, uint32_t to) {
    std::vector<uint32_t> numbers;
    for (uint32_t n = from; n < to; ++n)
        numbers.push_back(n);
    return numbers;
}

/// Heads a sector of this number.
inline void plant_header(MemoryFlash& flash, uint32_t sequence,
                         uint8_t state = wire::state_recording) {
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

/// The same, and a record behind the header.
inline void plant_sector(MemoryFlash& flash, uint32_t sequence, uint8_t state) {
    plant_header(flash, sequence, state);
    wire::Boot boot = {};
    boot.head.kind = static_cast<uint8_t>(wire::RecordKind::boot);
    boot.head.sequence = sequence + 1;
    wire::seal(boot);
    flash.program((sequence + 1) % (flash.sector_count() * 128U) * 32,
                  reinterpret_cast<uint8_t*>(&boot), sizeof boot);
}

} // namespace quaycell::test
