#include "archive/stored_circuit.h"

#include <cmath>

namespace quaycell {

namespace {

/// Of protocol version 1.
struct Circuit1 {
    std::uint32_t converter_lsb_nv;
    std::uint32_t reference_uv;
    std::uint32_t thermistor_pullup_ohm;
    std::uint32_t thermistor_25c_ohm;
    std::uint16_t thermistor_beta_k;
    std::uint16_t battery_full_scale_mv;
    std::uint16_t sum_full_scale;
    std::uint16_t low_battery_mv;
};
static_assert(sizeof(Circuit1) == 24);

std::uint32_t e12(double per_k) {
    return static_cast<std::uint32_t>(std::lround(per_k * 1e12));
}

wire::Circuit from_version_1(const Circuit1& old) {
    constexpr double room_k = 298.15;
    wire::Circuit circuit{};
    circuit.converter_lsb_nv = old.converter_lsb_nv;
    circuit.reference_uv = old.reference_uv;
    circuit.thermistor_pullup_ohm = old.thermistor_pullup_ohm;
    circuit.thermistor_25c_ohm = old.thermistor_25c_ohm;
    // The beta equation is the first two terms of the one of today.
    circuit.thermistor_e12_per_k[0] = e12(1 / room_k);
    if (old.thermistor_beta_k != 0)
        circuit.thermistor_e12_per_k[1] = e12(1.0 / old.thermistor_beta_k);
    circuit.battery_full_scale_mv = old.battery_full_scale_mv;
    circuit.sum_full_scale = old.sum_full_scale;
    circuit.low_battery_mv = old.low_battery_mv;
    return circuit;
}

} // namespace

std::optional<wire::Circuit> stored_circuit(const sqlite::Blob& bytes) {
    if (bytes.size() == sizeof(wire::Circuit)) return wire::from_bytes<wire::Circuit>(bytes.data());
    if (bytes.size() == sizeof(Circuit1))
        return from_version_1(wire::from_bytes<Circuit1>(bytes.data()));
    return std::nullopt;
}

} // namespace quaycell
