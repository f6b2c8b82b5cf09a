#include "archive/stored_calibration.h"

namespace quaycell {

namespace {

/// Of protocol versions 1 and 2.
struct Calibration1 {
    std::uint32_t unix_s;
    std::int32_t reference_code_x16;
    std::int16_t gain_a_ppm;
    std::int16_t offset_a_uv;
    std::int16_t gain_b_ppm;
    std::int16_t offset_b_uv;
    std::int16_t temperature_centi_c;
    std::uint16_t flags;
    std::uint16_t uncertainty_uv;
    std::uint16_t crc;
};
static_assert(sizeof(Calibration1) == 24);

wire::Calibration from_version_1(const Calibration1& old) {
    constexpr std::uint32_t holds_s = 365 * 86400;
    wire::Calibration calibration{};
    calibration.layout = wire::calibration_layout;
    calibration.unix_s = old.unix_s;
    calibration.due_unix_s = old.unix_s + holds_s;
    calibration.reference_code_x16 = old.reference_code_x16;
    calibration.temperature_centi_c = old.temperature_centi_c;
    calibration.second_temperature_centi_c = wire::unmeasured_error;
    calibration.flags = static_cast<std::uint16_t>((old.flags & wire::calibration_valid) |
                                                   wire::calibration_cell_b);
    calibration.uncertainty_uv = old.uncertainty_uv;
    calibration.a = wire::unmeasured_input();
    calibration.a.gain_ppm = old.gain_a_ppm;
    calibration.a.offset_uv = old.offset_a_uv;
    calibration.b = wire::unmeasured_input();
    calibration.b.gain_ppm = old.gain_b_ppm;
    calibration.b.offset_uv = old.offset_b_uv;
    wire::seal(calibration);
    return calibration;
}

} // namespace

std::optional<wire::Calibration> stored_calibration(const sqlite::Blob& bytes) {
    if (bytes.size() == sizeof(wire::Calibration))
        return wire::from_bytes<wire::Calibration>(bytes.data());
    if (bytes.size() == sizeof(Calibration1))
        return from_version_1(wire::from_bytes<Calibration1>(bytes.data()));
    return std::nullopt;
}

} // namespace quaycell
