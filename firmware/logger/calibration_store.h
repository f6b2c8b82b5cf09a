// The calibration in EEPROM: two copies that take turns, so that a write cut short leaves the
// other.
#pragma once

#include "logger/identity.h"
#include "wire/calibration.h"

namespace quaycell {
namespace logger {

template <typename Eeprom>
class CalibrationStore {
  public:
    constexpr CalibrationStore(Eeprom& eeprom, uint16_t address)
        : eeprom_(eeprom), address_(address) {}

    /// The later of the sound copies; all zero, with its valid flag clear, when there is none.
    wire::Calibration read() const {
        const uint8_t newest = newest_copy();
        return newest == none ? wire::Calibration{}
                              : read_eeprom<wire::Calibration>(eeprom_, place(newest));
    }

    bool holds_one() const { return newest_copy() != none; }

    /// Writes over the older copy, 0.4 s; false when it does not read back.
    bool write(wire::Calibration& calibration) {
        const uint8_t newest = newest_copy();
        const uint8_t older = newest == 0 ? uint8_t{1} : uint8_t{0};
        calibration.turn = newest == none ? uint16_t{0} : static_cast<uint16_t>(turn(newest) + 1);
        wire::seal(calibration);
        const uint8_t* const bytes = reinterpret_cast<const uint8_t*>(&calibration);
        for (uint8_t i = 0; i < sizeof calibration; ++i)
            eeprom_.write(static_cast<uint16_t>(place(older) + i), bytes[i]);
        return newest_copy() == older;
    }

  private:
    static constexpr uint8_t none = 2;

    uint16_t place(uint8_t copy) const {
        return static_cast<uint16_t>(address_ + copy * sizeof(wire::Calibration));
    }

    uint16_t word(uint8_t copy, uint8_t at) const {
        return read_eeprom<uint16_t>(eeprom_, static_cast<uint16_t>(place(copy) + at));
    }
    uint16_t turn(uint8_t copy) const { return word(copy, offsetof(wire::Calibration, turn)); }

    /// As wire::is_valid, byte by byte: a copy in memory takes more stack than there is.
    bool sound(uint8_t copy) const {
        uint16_t crc = wire::crc16_start;
        for (uint8_t i = 0; i < offsetof(wire::Calibration, crc); ++i)
            crc = wire::crc16_next(crc, eeprom_.read(static_cast<uint16_t>(place(copy) + i)));
        const uint8_t layout =
            eeprom_.read(static_cast<uint16_t>(place(copy) + offsetof(wire::Calibration, layout)));
        return word(copy, offsetof(wire::Calibration, crc)) == crc &&
               layout == wire::calibration_layout &&
               (word(copy, offsetof(wire::Calibration, flags)) & wire::calibration_valid) != 0;
    }

    uint8_t newest_copy() const {
        const bool first = sound(0);
        if (!sound(1)) return first ? uint8_t{0} : none;
        return first && static_cast<int16_t>(turn(1) - turn(0)) < 0 ? uint8_t{0} : uint8_t{1};
    }

    Eeprom& eeprom_;
    uint16_t address_;
};

} // namespace logger
} // namespace quaycell
