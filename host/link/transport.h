// The seam between the conversation with a logger and the line that carries it.
#pragma once

#include "base/result.h"

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <string>

namespace quaycell {

/// Waiting is measured on the clock that nobody sets.
using TimePoint = std::chrono::steady_clock::time_point;

/// An open line. Destroying it closes it.
class Transport {
  public:
    virtual ~Transport() = default;

    /// Waits for bytes until `deadline`; returns how many came, 0 when none did in time.
    /// Error: unplugged.
    virtual Result<std::size_t> read_some(std::span<std::uint8_t> into, TimePoint deadline) = 0;

    /// Error: unplugged.
    virtual Result<Done> write_all(std::span<const std::uint8_t> bytes) = 0;

    /// Sets the speed of this end, [Bd]. False when it stays as it was: a port that does not run at
    /// that speed, or a bridge, whose port is not in reach.
    virtual bool set_baud(std::uint32_t) { return false; }

    /// What the user called it, for error messages.
    virtual const std::string& name() const = 0;
};

/// Opens a serial port, a pseudo-terminal or (named tcp://HOST:PORT) a bridge to a serial port; of
/// the errors of the latter see open_tcp_bridge(). A serial port is set to 115200 baud, 8 data
/// bits, no parity, 1 stop bit, no flow control, for this program alone. The modem lines are not
/// touched, and stay as they are on closing, so that neither resets a logger. What arrived before
/// is thrown away. Errors: not_found, no_permission, in_use, wrong_input (not a serial port),
/// failed.
Result<std::unique_ptr<Transport>> open_port(const std::string& path);

} // namespace quaycell
