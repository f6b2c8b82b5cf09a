// The cell converter: 16 bit, single conversions at +-2.048 V and 8 samples a second, with its
// ALERT/RDY pin falling when one is done. Register bits: from the data sheet, from memory.
// Bus as for the clock chip.
#pragma once

#include "board/pins.h"
#include "logger/converter.h"

namespace quaycell {
namespace chips {

template <typename Bus>
class Ads1115 {
  public:
    explicit constexpr Ads1115(Bus& bus) : bus_(bus) {}

    /// Makes ALERT/RDY mean "conversion ready": threshold high below threshold low. False, too,
    /// when the chip does not keep what it is told. Does not disturb a conversion.
    bool begin() {
        uint16_t kept = 0;
        return write(low_threshold, 0x0000) && write(high_threshold, ready_high) &&
               read(high_threshold, kept) && kept == ready_high;
    }

    bool start(logger::Input input) {
        setting_ = static_cast<uint16_t>(static_cast<uint16_t>(multiplexer(input) << 12) |
                                         range_2048_mv | single | samples_8);
        return write(config, start_or_idle | setting_);
    }

    /// code is good when done. Failed, too, when the chip has another setting than it was given: it
    /// has been reset, or it does not know what it says.
    logger::Conversion result(int16_t& code) {
        uint16_t value;
        if (!read(config, value) || (value & ~start_or_idle) != setting_)
            return logger::Conversion::failed;
        if ((value & start_or_idle) == 0) return logger::Conversion::running;
        if (!read(conversion, value)) return logger::Conversion::failed;
        code = static_cast<int16_t>(value);
        return logger::Conversion::done;
    }

  private:
    static constexpr uint8_t conversion = 0;
    static constexpr uint8_t config = 1;
    static constexpr uint8_t low_threshold = 2;
    static constexpr uint8_t high_threshold = 3;
    static constexpr uint16_t ready_high = 0x8000;
    static constexpr uint16_t start_or_idle = 0x8000; // OS
    static constexpr uint16_t range_2048_mv = 0x0400;
    static constexpr uint16_t single = 0x0100;
    static constexpr uint16_t samples_8 = 0x0000; // and comparator queue 1, which lets RDY out

    static uint8_t multiplexer(logger::Input input) {
        switch (input) {
        case logger::Input::cell_a:
            return 1; // AIN0-AIN3
        case logger::Input::cell_b:
            return 2; // AIN1-AIN3
        case logger::Input::zero:
            return 3; // AIN2-AIN3
        case logger::Input::reference:
            return 7; // AIN3-GND
        }
        return 0;
    }

    bool write(uint8_t reg, uint16_t value) {
        const uint8_t bytes[] = {reg, static_cast<uint8_t>(value >> 8),
                                 static_cast<uint8_t>(value & 0xFF)};
        return bus_.write(board::converter_address, bytes, sizeof bytes);
    }

    bool read(uint8_t reg, uint16_t& value) {
        uint8_t bytes[2];
        if (!bus_.read(board::converter_address, reg, bytes, sizeof bytes)) return false;
        value = static_cast<uint16_t>((bytes[0] << 8) | bytes[1]);
        return true;
    }

    Bus& bus_;
    uint16_t setting_ = 0;
};

} // namespace chips
} // namespace quaycell
