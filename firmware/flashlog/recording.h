// What the log says that the logger is doing, and the records that say so of their own accord.
#pragma once

#include "wire/record.h"

namespace quaycell {
namespace flashlog {

/// A restart goes on with it.
struct Recording {
    bool on;
    bool paused; ///< until there are fresh cells: a Stop record says that they are low
    wire::FullPolicy policy;
    uint16_t interval_s;
};

/// As the header of a sector tells it.
inline Recording recording_of(const wire::SectorHeader& header) {
    return {(header.state & wire::state_recording) != 0, false,
            (header.state & wire::state_overwrite_oldest) != 0 ? wire::FullPolicy::overwrite_oldest
                                                               : wire::FullPolicy::stop_when_full,
            header.interval_s};
}

/// As an order to arm has it.
inline Recording recording_of(const wire::Arm& arm) {
    return {true, false, static_cast<wire::FullPolicy>(arm.policy), arm.interval_s};
}

/// What is left of it after a Stop record.
inline void end_for(const wire::Stop& record, Recording& recording) {
    recording.paused = record.reason == static_cast<uint8_t>(wire::StopReason::battery_low);
    if (!recording.paused) recording.on = false;
}

/// The Stop record of a full memory, stamped like the record that found no room any more.
inline wire::Stop stop_of_full_memory(const uint8_t* record, uint32_t unix_s) {
    wire::Stop stop;
    memset(&stop, 0xFF, sizeof stop);
    memcpy(&stop, record, sizeof stop.head);
    stop.head.kind = static_cast<uint8_t>(wire::RecordKind::stop);
    stop.unix_s = unix_s;
    stop.reason = static_cast<uint8_t>(wire::StopReason::memory_full);
    return stop;
}

} // namespace flashlog
} // namespace quaycell
