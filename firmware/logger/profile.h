// What the logger has to know of the board it runs on.
#pragma once

#include "wire/messages.h"

namespace quaycell {
namespace logger {

/// The code of the battery divider below which the battery is low.
constexpr uint16_t low_battery_code(const wire::Circuit& circuit) {
    return static_cast<uint16_t>(uint32_t{circuit.low_battery_mv} * circuit.sum_full_scale /
                                 circuit.battery_full_scale_mv);
}

/// The code of a stimulus response that high.
constexpr uint8_t response_code(const wire::Circuit& circuit, uint16_t mv) {
    return static_cast<uint8_t>(uint32_t{mv} * 1000 / circuit.source_uv_per_code);
}

struct Profile {
    wire::Circuit circuit;
    uint8_t settling_s; ///< of the front end after power-up
    uint8_t rest_ticks; ///< of the front end after a stimulus
    uint16_t eeprom_device_id;
    uint16_t eeprom_calibration;
    uint16_t eeprom_boot_count;
    uint16_t firmware_version;
    uint32_t firmware_build;
};

} // namespace logger
} // namespace quaycell
