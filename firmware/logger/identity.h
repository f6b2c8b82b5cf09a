// What belongs to this board and outlives every restart: its number, and how often it has started.
// Its calibration: calibration_store.h.
//
// Eeprom: uint8_t read(uint16_t address), void write(uint16_t address, uint8_t value)
#pragma once

#include "logger/profile.h"

namespace quaycell {
namespace logger {

constexpr uint32_t no_device_id = UINT32_MAX; ///< EEPROM never written

template <typename Eeprom>
void read_bytes(Eeprom& eeprom, uint16_t address, uint8_t* bytes, uint8_t count) {
    for (uint8_t i = 0; i < count; ++i)
        bytes[i] = eeprom.read(static_cast<uint16_t>(address + i));
}

template <typename Struct, typename Eeprom>
Struct read_eeprom(Eeprom& eeprom, uint16_t address) {
    uint8_t bytes[sizeof(Struct)];
    read_bytes(eeprom, address, bytes, sizeof bytes);
    return wire::from_bytes<Struct>(bytes);
}

/// One of two slots that take turns, so that a write cut short leaves the other.
struct BootSlot {
    uint16_t count;
    uint16_t inverse;
    bool valid() const { return static_cast<uint16_t>(~count) == inverse; }
};

/// Counts this restart; returns its number, from 1 (when no slot is valid) on, wrapping at 65536.
template <typename Eeprom>
uint16_t count_boot(Eeprom& eeprom, uint16_t address) {
    const uint16_t second = static_cast<uint16_t>(address + sizeof(BootSlot));
    const BootSlot a = read_eeprom<BootSlot>(eeprom, address);
    const BootSlot b = read_eeprom<BootSlot>(eeprom, second);
    const bool b_is_newer =
        b.valid() && (!a.valid() || static_cast<int16_t>(a.count - b.count) < 0);
    const uint16_t last = b_is_newer ? b.count : a.valid() ? a.count : uint16_t{0};

    BootSlot now = {};
    now.count = static_cast<uint16_t>(last + 1);
    now.inverse = static_cast<uint16_t>(~now.count);
    uint8_t bytes[sizeof now];
    wire::to_bytes(now, bytes);
    const uint16_t older = b_is_newer ? address : second;
    for (uint8_t i = 0; i < sizeof bytes; ++i)
        eeprom.write(static_cast<uint16_t>(older + i), bytes[i]);
    return now.count;
}

} // namespace logger
} // namespace quaycell
