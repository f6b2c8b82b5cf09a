// A host's side of the conversation, for a logger on a board in the same process.
#pragma once

#include "bench/board.h"
#include "wire/frame.h"

#include <doctest/doctest.h>

#include <optional>

namespace quaycell::bench {

struct Frame {
    wire::MessageType type;
    std::uint8_t sequence;
    std::vector<std::uint8_t> payload;

    template <typename Message>
    Message as() const {
        REQUIRE(payload.size() == sizeof(Message));
        return wire::from_bytes<Message>(payload.data());
    }
};

struct DownloadedSlot {
    std::uint32_t sequence;
    std::array<std::uint8_t, wire::record_size> bytes;

    wire::RecordKind kind() const { return static_cast<wire::RecordKind>(bytes[0]); }
    template <typename Record>
    Record as() const {
        return wire::from_bytes<Record>(bytes.data());
    }
};

class LoggerClient {
  public:
    explicit LoggerClient(Board& board) : board_(board) {}

    /// Plugs the cable in and gives the logger the time to notice; pulls it out.
    void plug();
    void unplug();

    template <typename Message>
    void send(wire::MessageType type, const Message& message) {
        std::array<std::uint8_t, wire::max_frame> bytes;
        const auto length = wire::write_frame(bytes.data(), type, ++sequence_, message);
        board_.send({bytes.data(), length});
    }

    /// The next frame within `patience` of simulated time.
    std::optional<Frame> next(Time patience = std::chrono::seconds{3});

    /// Sends a request and returns its answer; fails the test when none comes.
    template <typename Message>
    Frame ask(wire::MessageType type, const Message& message) {
        send(type, message);
        for (;;) {
            const std::optional<Frame> frame = next();
            REQUIRE_MESSAGE(frame, "the logger does not answer");
            if (frame->type != wire::MessageType::live_reading) return *frame;
        }
    }

    wire::HelloReply hello();
    wire::StatusReply status();
    wire::StatusReply arm(std::uint16_t interval_s);

    /// Agrees on a speed of wire::SetSpeed with the logger, and both keep to it.
    void set_speed(std::uint8_t speed);

    /// All slots from `first` to just before `end`, as the logger sends them.
    std::vector<DownloadedSlot> download(std::uint32_t first, std::uint32_t end);

  private:
    Board& board_;
    wire::FrameReader<wire::max_content> reader_;
    std::deque<std::uint8_t> received_;
    std::uint8_t sequence_ = 0;
};

} // namespace quaycell::bench
