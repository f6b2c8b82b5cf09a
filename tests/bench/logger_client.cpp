#include "logger_client.h"

namespace quaycell::bench {

using namespace std::chrono_literals;

void LoggerClient::plug() {
    board_.set_host_present(true);
    board_.run_for(500ms);
}

void LoggerClient::unplug() {
    board_.set_host_present(false);
    board_.run_for(500ms);
}

std::optional<Frame> LoggerClient::next(Time patience) {
    const Time end = board_.now() + patience;
    for (;;) {
        while (!received_.empty()) {
            const wire::FrameEvent event = reader_.push(received_.front());
            received_.pop_front();
            if (event == wire::FrameEvent::none) continue;
            REQUIRE(event == wire::FrameEvent::frame);
            const std::uint8_t* const payload = reader_.payload();
            return Frame{static_cast<wire::MessageType>(reader_.type()),
                         reader_.sequence(),
                         {payload, payload + wire::payload_length(reader_.type())}};
        }
        if (board_.now() >= end) return std::nullopt;
        board_.run_for(1ms);
        const auto bytes = board_.take_output();
        received_.insert(received_.end(), bytes.begin(), bytes.end());
    }
}

wire::HelloReply LoggerClient::hello() {
    const Frame frame = ask(wire::MessageType::hello, wire::Hello{wire::protocol_version, 0});
    REQUIRE(frame.type == wire::MessageType::hello_reply);
    return frame.as<wire::HelloReply>();
}

wire::StatusReply LoggerClient::status() {
    return ask(wire::MessageType::status, wire::StatusRequest{0}).as<wire::StatusReply>();
}

wire::StatusReply LoggerClient::arm(std::uint16_t interval_s) {
    const auto policy = static_cast<std::uint8_t>(wire::FullPolicy::stop_when_full);
    return ask(wire::MessageType::arm, wire::ArmRequest{interval_s, policy, 0})
        .as<wire::StatusReply>();
}

void LoggerClient::set_speed(std::uint8_t speed) {
    const Frame reply = ask(wire::MessageType::set_speed, wire::SetSpeed{speed, 0});
    REQUIRE(reply.type == wire::MessageType::speed_reply);
    CHECK(reply.as<wire::SpeedReply>().speed == speed);
    board_.set_host_baud(wire::baud_of(speed));
}

std::vector<DownloadedSlot> LoggerClient::download(std::uint32_t first, std::uint32_t end) {
    std::vector<DownloadedSlot> slots;
    const auto take = [&](std::uint32_t sequence, const std::uint8_t* bytes, std::size_t count) {
        for (std::size_t i = 0; i < count; ++i) {
            DownloadedSlot slot{sequence + static_cast<std::uint32_t>(i), {}};
            std::copy_n(bytes + i * wire::record_size, wire::record_size, slot.bytes.begin());
            slots.push_back(slot);
        }
    };
    send(wire::MessageType::read, wire::Read{first, end - first});
    for (;;) {
        const std::optional<Frame> frame = next();
        REQUIRE_MESSAGE(frame, "the download stops in the middle");
        if (frame->type == wire::MessageType::slot) {
            const auto slot = frame->as<wire::Slot>();
            take(slot.first_sequence, slot.bytes, 1);
        } else if (frame->type == wire::MessageType::slot_block) {
            const auto block = frame->as<wire::SlotBlock>();
            take(block.first_sequence, block.bytes, wire::slots_per_block);
        } else if (frame->type == wire::MessageType::read_end) {
            CHECK(frame->as<wire::ReadEnd>().next_sequence == end);
            return slots;
        } else if (frame->type != wire::MessageType::live_reading) {
            FAIL("the logger refuses the download");
        }
    }
}

} // namespace quaycell::bench
