// A serial port that another computer or a small box passes on over the network, byte for byte
// (raw TCP), written tcp://HOST:PORT.
#pragma once

#include "link/transport.h"

#include <string_view>

namespace quaycell {

/// Whether a port's name means a bridge.
bool is_tcp_bridge(std::string_view name);

/// Connects within 5 s. What the bridge's own serial port is set to is the bridge's affair: it has
/// to be 115200 baud. Errors: wrong_usage (not tcp://HOST:PORT), not_found (no such host), refused
/// (nothing listens there), silent (no answer in time), failed.
Result<std::unique_ptr<Transport>> open_tcp_bridge(const std::string& name);

} // namespace quaycell
