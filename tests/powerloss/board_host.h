// The computer at the board's serial line: gives orders, and keeps every word that it is given.
#pragma once

#include "bench/board.h"
#include "wire/frame.h"

#include <map>
#include <optional>

namespace quaycell::powerloss {

class BoardHost {
  public:
    explicit BoardHost(bench::Board& board) : board_(board) {}

    /// Asks for live readings, which tell what has been written down.
    void watch();
    void order(wire::MessageType order, std::uint32_t next_sequence);
    std::optional<wire::MessageType> ordered() const { return ordered_; }
    /// The logger has said that the order is carried out.
    bool confirmed() const { return confirmed_; }

    /// Takes in what the board has sent.
    void listen();
    /// Readings of which the logger has said that they are in flash: 32 bytes by number.
    const std::map<std::uint32_t, wire::Reading>& told() const { return told_; }

  private:
    template <typename Message>
    void send(wire::MessageType type, const Message& message);
    void take(std::uint8_t type, std::uint8_t sequence, const std::uint8_t* payload);

    bench::Board& board_;
    wire::FrameReader<wire::max_content> reader_;
    std::map<std::uint32_t, wire::Reading> told_;
    std::optional<wire::MessageType> ordered_;
    std::uint8_t sequence_ = 0, order_sequence_ = 0;
    bool confirmed_ = false;
};

} // namespace quaycell::powerloss
