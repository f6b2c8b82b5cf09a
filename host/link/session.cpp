#include "link/session.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

using wire::MessageType;

/// What ends the answer to a request.
MessageType answer_to(MessageType request) {
    switch (request) {
    case MessageType::hello:
        return MessageType::hello_reply;
    case MessageType::circuit:
        return MessageType::circuit_reply;
    case MessageType::calibration:
    case MessageType::set_calibration:
        return MessageType::calibration_reply;
    case MessageType::read:
        return MessageType::read_end;
    case MessageType::set_speed:
        return MessageType::speed_reply;
    default:
        return MessageType::status_reply;
    }
}

bool is_part(MessageType request, MessageType type) {
    return request == MessageType::read &&
           (type == MessageType::slot || type == MessageType::slot_block);
}

bool refuses(MessageType request, const Message& message) {
    return message.type == MessageType::refusal &&
           message.as<wire::Refusal>().request == static_cast<std::uint8_t>(request);
}

std::vector<std::uint8_t> framed(MessageType type, std::uint8_t sequence,
                                 std::span<const std::uint8_t> payload) {
    // The zero in front ends whatever noise the logger has taken for the beginning of a frame.
    std::vector<std::uint8_t> frame(1 + wire::max_frame);
    std::memcpy(wire::frame_payload(frame.data() + 1), payload.data(), payload.size());
    const auto length = wire::finish_frame(frame.data() + 1, type, sequence,
                                           static_cast<std::uint8_t>(payload.size()));
    frame.resize(1U + length);
    return frame;
}

std::uint64_t* counter_of(wire::FrameEvent event, RejectCounts& counts) {
    switch (event) {
    case wire::FrameEvent::too_long:
        return &counts.too_long;
    case wire::FrameEvent::bad_stuffing:
        return &counts.bad_stuffing;
    case wire::FrameEvent::bad_checksum:
        return &counts.bad_checksum;
    case wire::FrameEvent::unknown_type:
        return &counts.unknown_type;
    case wire::FrameEvent::bad_length:
        return &counts.bad_length;
    case wire::FrameEvent::none:
    case wire::FrameEvent::frame:
        break;
    }
    return nullptr;
}

} // namespace

RejectCounts& RejectCounts::operator+=(const RejectCounts& more) {
    too_long += more.too_long;
    bad_stuffing += more.bad_stuffing;
    bad_checksum += more.bad_checksum;
    unknown_type += more.unknown_type;
    bad_length += more.bad_length;
    unmatched += more.unmatched;
    return *this;
}

void Session::ask(MessageType request, std::span<const std::uint8_t> payload, TimePoint now,
                  int attempts, Milliseconds wait) {
    const std::uint8_t sequence = next_sequence_++;
    bytes_since_ask_ = 0;
    frames_since_ask_ = 0;
    outstanding_ = Outstanding{request,      sequence, framed(request, sequence, payload),
                               attempts - 1, wait,     now + wait};
    output_ = outstanding_->frame;
}

void Session::receive(std::span<const std::uint8_t> bytes, TimePoint now) {
    bytes_since_ask_ += bytes.size();
    for (const std::uint8_t byte : bytes) {
        const wire::FrameEvent event = reader_.push(byte);
        if (event == wire::FrameEvent::frame)
            take_frame(now);
        else if (std::uint64_t* counter = counter_of(event, rejects_))
            ++*counter;
    }
}

void Session::take_frame(TimePoint now) {
    ++frames_since_ask_;
    const std::size_t length = wire::payload_length(reader_.type());
    Message message{static_cast<MessageType>(reader_.type()),
                    {reader_.payload(), reader_.payload() + length}};
    if (message.type == MessageType::live_reading) {
        events_.push_back({SessionEventKind::live_reading, std::move(message)});
    } else if (!outstanding_ || reader_.sequence() != outstanding_->sequence) {
        ++rejects_.unmatched;
    } else if (message.type == answer_to(outstanding_->request)) {
        finish(SessionEventKind::answer, std::move(message));
    } else if (refuses(outstanding_->request, message)) {
        finish(SessionEventKind::refusal, std::move(message));
    } else if (is_part(outstanding_->request, message.type)) {
        outstanding_->deadline = now + outstanding_->wait;
        events_.push_back({SessionEventKind::part, std::move(message)});
    } else {
        ++rejects_.unmatched;
    }
}

void Session::finish(SessionEventKind kind, Message message) {
    outstanding_.reset();
    output_.clear();
    events_.push_back({kind, std::move(message)});
}

void Session::advance(TimePoint now) {
    if (!outstanding_ || now < outstanding_->deadline) return;
    if (outstanding_->attempts_left == 0) {
        finish(SessionEventKind::gave_up, {});
        return;
    }
    --outstanding_->attempts_left;
    outstanding_->wait += timing_.answer / 2;
    outstanding_->deadline = now + outstanding_->wait;
    output_ = outstanding_->frame;
}

std::optional<TimePoint> Session::deadline() const {
    if (!outstanding_) return std::nullopt;
    return outstanding_->deadline;
}

std::optional<SessionEvent> Session::next_event() {
    if (events_.empty()) return std::nullopt;
    SessionEvent event = std::move(events_.front());
    events_.pop_front();
    return event;
}

Error Session::why_no_answer() const {
    if (bytes_since_ask_ == 0)
        return {
            ErrorCode::silent, "the port is open but nothing answers", "",
            "Check that the cable goes to the logger, that its battery is charged, and that this "
            "is the right port."};
    if (frames_since_ask_ == 0)
        return {
            ErrorCode::no_frames,
            fmt::format("{} bytes arrived but nothing that a logger says", bytes_since_ask_), "",
            fmt::format("Either something else is at this port, or the line is noisy, or it does "
                        "not run at {} baud.",
                        wire::baud_rate)};
    return {ErrorCode::silent, "the logger sends but does not answer what it was asked", "",
            "Unplug it, plug it in again and repeat the command."};
}

} // namespace quaycell
