#include "board_host.h"

namespace quaycell::powerloss {

template <typename Message>
void BoardHost::send(wire::MessageType type, const Message& message) {
    std::array<std::uint8_t, wire::max_frame> bytes;
    board_.send({bytes.data(), wire::write_frame(bytes.data(), type, ++sequence_, message)});
}

void BoardHost::watch() {
    send(wire::MessageType::live, wire::LiveRequest{1, 0});
}

void BoardHost::order(wire::MessageType order, std::uint32_t next_sequence) {
    constexpr auto ring = static_cast<std::uint8_t>(wire::FullPolicy::overwrite_oldest);
    if (order == wire::MessageType::arm)
        send(order, wire::ArmRequest{wire::shortest_interval_s, ring, 0});
    else if (order == wire::MessageType::stop)
        send(order, wire::StopRequest{0});
    else
        send(order, wire::ForgetRequest{next_sequence});
    ordered_ = order;
    order_sequence_ = sequence_;
}

void BoardHost::listen() {
    for (const std::uint8_t byte : board_.take_output())
        if (reader_.push(byte) == wire::FrameEvent::frame)
            take(reader_.type(), reader_.sequence(), reader_.payload());
}

void BoardHost::take(std::uint8_t type, std::uint8_t sequence, const std::uint8_t* payload) {
    if (type == static_cast<std::uint8_t>(wire::MessageType::live_reading)) {
        const auto live = wire::from_bytes<wire::LiveReading>(payload);
        if (live.recorded != 0) told_[live.reading.head.sequence] = live.reading;
    } else if (type == static_cast<std::uint8_t>(wire::MessageType::status_reply) && ordered_ &&
               sequence == order_sequence_) {
        confirmed_ = true;
    }
}

} // namespace quaycell::powerloss
