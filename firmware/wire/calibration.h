// What was found when the logger was compared with a better instrument: the record that stands in
// its EEPROM, goes over the line and rests in the archive.
#pragma once

#include "wire/bytes.h"
#include "wire/crc16.h"

namespace quaycell {
namespace wire {

constexpr uint8_t calibration_layout = 2; ///< raised when a struct below changes

/// Calibration::flags
constexpr uint16_t calibration_valid = 0x0001;
constexpr uint16_t calibration_two_temperatures = 0x0002;
constexpr uint16_t calibration_cell_b = 0x0004; ///< `b` was compared, too

/// What was not measured.
constexpr int16_t unmeasured_error = INT16_MIN;
constexpr uint16_t unmeasured_size = UINT16_MAX;
constexpr uint8_t unmeasured_response = UINT8_MAX;

/// Where the line that the comparison fits is held against the instrument once more, [mV].
constexpr int16_t verify_points_mv[] = {-1800, -1100, -600, 0, 600};
constexpr uint8_t verify_point_count = sizeof verify_points_mv / sizeof verify_points_mv[0];

/// What the stimulus is tried on.
constexpr uint8_t response_count = 4; ///< short, 10 kohm, 100 kohm, open

/// One cell's input. Errors are what the logger shows less what the instrument shows.
struct CalibratedInput {
    int16_t gain_ppm;
    int16_t offset_uv;
    int16_t gain_drift_ppb_per_k; ///< of the gain, from the temperature of the comparison on
    uint16_t ac_floor_uv;         ///< rms, with no AC
    uint16_t ac_gain_50_hz_e4;    ///< true over shown, parts per ten thousand
    uint16_t ac_gain_60_hz_e4;
    int16_t verify_uv[verify_point_count]; ///< errors at verify_points_mv
    int16_t behind_100_kohm_uv;            ///< shift of the reading
    int16_t behind_10_mohm_uv;
    uint8_t response[response_count]; ///< as Reading::source_a
};

/// potential = -(code - zero) * lsb * (1 + gain + drift * (board temperature - that of then))
///             * (reference then / reference now) + offset
struct Calibration {
    uint16_t turn;  ///< of the two copies in EEPROM, the later counts; the logger's own business
    uint8_t layout; ///< calibration_layout
    uint8_t reserved;
    uint32_t unix_s;                    ///< when
    uint32_t due_unix_s;                ///< when it has to be done again
    int32_t reference_code_x16;         ///< code of AIN3-GND less the zero, then, times 16
    int16_t zero_code_x16;              ///< code of AIN2-AIN3, then, times 16
    int16_t temperature_centi_c;        ///< of the board, then
    int16_t second_temperature_centi_c; ///< unmeasured_error where there was none
    uint16_t flags;
    uint16_t uncertainty_uv; ///< expanded (k = 2), of the instrument
    char instrument[22];     ///< what it was compared with, UTF-8, filled up with zeros
    CalibratedInput a;
    CalibratedInput b;
    uint16_t reserved_too;
    uint16_t crc; ///< over all before it; also guards it in EEPROM
};

static_assert(sizeof(CalibratedInput) == 30, "calibrated input");
static_assert(sizeof(Calibration) == 112, "calibration");
static_assert(offsetof(Calibration, crc) == sizeof(Calibration) - 2, "the CRC comes last");

/// An input of which nothing is known.
inline CalibratedInput unmeasured_input() {
    CalibratedInput input = {};
    input.ac_floor_uv = unmeasured_size;
    input.ac_gain_50_hz_e4 = unmeasured_size;
    input.ac_gain_60_hz_e4 = unmeasured_size;
    input.gain_drift_ppb_per_k = unmeasured_error;
    for (int16_t& error : input.verify_uv)
        error = unmeasured_error;
    input.behind_100_kohm_uv = unmeasured_error;
    input.behind_10_mohm_uv = unmeasured_error;
    for (uint8_t& code : input.response)
        code = unmeasured_response;
    return input;
}

/// The checksum that belongs to it.
inline uint16_t checksum_of(const Calibration& calibration) {
    return crc16(reinterpret_cast<const uint8_t*>(&calibration), offsetof(Calibration, crc));
}

inline void seal(Calibration& calibration) {
    calibration.crc = checksum_of(calibration);
}

/// Whether it is whole and says so.
inline bool is_valid(const Calibration& calibration) {
    return checksum_of(calibration) == calibration.crc &&
           calibration.layout == calibration_layout && (calibration.flags & calibration_valid) != 0;
}

} // namespace wire
} // namespace quaycell
