// The speed of an open serial port.
#pragma once

#include <cstdint>

namespace quaycell {

/// Sets it, [Bd]; false when the port does not take it or the descriptor is no port.
bool set_port_speed(int descriptor, std::uint32_t baud);

} // namespace quaycell
