// The board as the logger asks for it.
#pragma once

#include "board/circuit.h"
#include "board/pins.h"
#include "logger/profile.h"

namespace quaycell {
namespace board {

constexpr uint16_t firmware_version = 0 * 256 + 1;

constexpr logger::Profile profile(uint32_t firmware_build) {
    return {{converter_lsb_nv,
             reference_uv,
             thermistor_pullup_ohm,
             thermistor_25c_ohm,
             {thermistor_c0, thermistor_c1, thermistor_c2, thermistor_c3},
             ac_nv_per_code,
             ac_load_ohm,
             stimulus_half_ohm,
             hull_lead_ohm,
             battery_full_scale_mv,
             sum_full_scale,
             low_battery_mv,
             ac_floor_uv,
             source_uv_per_code,
             stimulus_open_mv,
             stimulus_drying_mv,
             stimulus_not_good_mv},
            settling_s,
            rest_ticks,
            eeprom_device_id,
            eeprom_calibration,
            eeprom_boot_count,
            firmware_version,
            firmware_build};
}

} // namespace board
} // namespace quaycell
