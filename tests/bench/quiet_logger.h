// The real firmware on the bench, in a quiet berth or another scenario, with a host at hand.
#pragma once

#include "logger_client.h"

#include <algorithm>
#include <utility>

namespace quaycell::bench {

inline Scenario quiet_berth() {
    return read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml");
}

struct QuietLogger {
    Scenario scenario;
    Board board;
    LoggerClient host{board};

    explicit QuietLogger(Scenario chosen = quiet_berth())
        : scenario(std::move(chosen)), board(read_firmware(QUAYCELL_LOGGER_ELF), scenario) {}

    /// Nothing that real hardware would not have forgiven.
    ~QuietLogger() { CHECK_MESSAGE(board.findings().empty(), board.findings().to_text()); }

    void arm(std::uint16_t interval_s) {
        host.plug();
        host.arm(interval_s);
        host.unplug();
    }

    std::vector<DownloadedSlot> whole_log() {
        const wire::StatusReply status = host.status();
        return host.download(status.tail_sequence, status.next_sequence);
    }

    /// The same, by a host that comes for it and goes again.
    std::vector<DownloadedSlot> collect() {
        host.plug();
        auto slots = whole_log();
        host.unplug();
        return slots;
    }

    std::uint8_t faults() {
        host.plug();
        const std::uint8_t faults = host.hello().faults;
        host.unplug();
        return faults;
    }
};

template <typename Record>
std::vector<Record> records_in(const std::vector<DownloadedSlot>& slots, wire::RecordKind kind) {
    std::vector<Record> records;
    for (const DownloadedSlot& slot : slots)
        if (slot.kind() == kind) records.push_back(slot.as<Record>());
    return records;
}

inline std::vector<wire::Reading> readings_in(const std::vector<DownloadedSlot>& slots) {
    return records_in<wire::Reading>(slots, wire::RecordKind::reading);
}

inline void check_unbroken(const std::vector<DownloadedSlot>& slots) {
    for (std::size_t i = 0; i < slots.size(); ++i) {
        REQUIRE(wire::is_valid_record(slots[i].bytes.data()));
        REQUIRE(slots[i].as<wire::RecordHead>().sequence == slots[i].sequence);
        REQUIRE(slots[i].sequence == slots[0].sequence + i);
    }
}

/// All but the slots that a restart spends before it writes: all zeros.
inline std::vector<DownloadedSlot> without_spent(std::vector<DownloadedSlot> slots) {
    std::erase_if(slots, [](const DownloadedSlot& slot) {
        return std::ranges::count(slot.bytes, 0) == wire::record_size;
    });
    for (const DownloadedSlot& slot : slots)
        REQUIRE(wire::is_valid_record(slot.bytes.data()));
    return slots;
}

} // namespace quaycell::bench
