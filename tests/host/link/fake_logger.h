// A logger as PROTOCOL.md describes it, in memory, with a line that can be made to fail.
#pragma once

#include "base/record_bytes.h"
#include "link/transport.h"
#include "wire/frame.h"

#include <deque>
#include <functional>
#include <memory>
#include <vector>

namespace quaycell::test {

using Bytes = std::vector<std::uint8_t>;

template <typename Message>
Bytes frame_of(wire::MessageType type, std::uint8_t sequence, const Message& message) {
    Bytes bytes(wire::frame_length(sizeof message));
    wire::write_frame(bytes.data(), type, sequence, message);
    return bytes;
}

/// A good record with a cell code of its own.
RecordBytes reading_record(std::uint16_t boot, std::uint32_t sequence, std::int16_t cell_a = -8700);

/// `count` good readings of one boot.
std::vector<RecordBytes> readings(std::uint16_t boot, std::uint32_t first, std::uint32_t count);

class FakeLogger {
  public:
    wire::HelloReply hello{wire::protocol_version, wire::record_layout, 0x0001, 0, 77, 3, 512, {},
                           wire::fault_calibration};
    wire::StatusReply status{};
    wire::Circuit circuit{62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
                          112288, 330000,  292000, 10000, 6600,
                          16384,  3300,    3600,   793,   167,
                          55,     65};
    wire::Calibration calibration{};
    bool forgets_calibration = false; ///< its EEPROM does not keep what is written
    std::uint32_t first = 0;          ///< sequence of slots[0]
    std::vector<RecordBytes> slots;
    std::vector<wire::Read> reads;     ///< every Read that was asked
    std::vector<std::uint8_t> refused; ///< MessageTypes that it refuses as unknown
    std::vector<std::uint8_t> speeds;  ///< every SetSpeed that was asked
    std::uint8_t speed = 0;            ///< at which it runs; only fast_line_to() tells them apart
    std::vector<std::uint8_t> lives;   ///< every LiveRequest that was asked
    int live_readings = 0;             ///< sent at once when live is switched on

    /// The logger's clock and memory as `status` tells them.
    wire::StatusReply current_status() const;

    /// Everything it says in reply to these bytes.
    Bytes hear(std::span<const std::uint8_t> bytes);

  private:
    void reply(std::uint8_t type, std::uint8_t sequence, const std::uint8_t* payload, Bytes& out);
    void send_slots(const wire::Read& asked, std::uint8_t sequence, Bytes& out);

    wire::FrameReader<wire::max_content> reader_;
};

/// What the line does to a chunk of the logger's bytes on their way.
using LineFault = std::function<void(Bytes&)>;

/// The line to a FakeLogger that lives elsewhere. Hands over at most `chunk` bytes at a time.
std::unique_ptr<Transport> line_to(FakeLogger& logger, LineFault fault = {},
                                   std::size_t chunk = 64);

/// What the line does at a speed [Bd] to a chunk of the logger's bytes on their way.
using SpeedFault = std::function<void(std::uint32_t baud, Bytes&)>;

/// A line whose host's end can change its speed. What is said at another speed than the logger's
/// is not understood, and brings the logger back to its first speed.
std::unique_ptr<Transport> fast_line_to(FakeLogger& logger, SpeedFault fault = {});

} // namespace quaycell::test
