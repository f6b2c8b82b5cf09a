// Framing: code byte, then COBS-stuffed [type, sequence, payload, CRC-16], then a zero.
// A frame's content is at most 254 bytes, one COBS block, so stuffing always costs exactly one byte
// and can be done in place.
#pragma once

#include "wire/messages.h"

namespace quaycell {
namespace wire {

constexpr uint8_t frame_head = 2; ///< type, sequence
constexpr uint8_t frame_crc = 2;  ///< little-endian, over type, sequence and payload
constexpr uint8_t max_content = 254;
constexpr uint8_t max_payload = max_content - frame_head - frame_crc;
constexpr uint16_t max_frame = max_content + 2;
static_assert(sizeof(SlotBlock) <= max_payload, "the longest message fits a frame");

constexpr uint16_t frame_length(uint8_t payload) {
    return static_cast<uint16_t>(1 + frame_head + payload + frame_crc + 1);
}

/// Where the payload of a frame that is being built goes.
inline uint8_t* frame_payload(uint8_t* frame) {
    return frame + 1 + frame_head;
}

/// Completes a frame whose payload already stands at frame_payload(frame); `frame` needs room for
/// frame_length(payload). Returns the number of bytes to send.
inline uint16_t finish_frame(uint8_t* frame, MessageType type, uint8_t sequence, uint8_t payload) {
    uint8_t* content = frame + 1;
    content[0] = static_cast<uint8_t>(type);
    content[1] = sequence;
    const uint8_t checked = static_cast<uint8_t>(frame_head + payload);
    const uint16_t crc = crc16(content, checked);
    content[checked] = static_cast<uint8_t>(crc & 0xFF);
    content[checked + 1] = static_cast<uint8_t>(crc >> 8);
    const uint8_t length = static_cast<uint8_t>(checked + frame_crc);

    // Each zero is replaced by the distance to the next one; the code byte points at the first.
    uint8_t distance = 1;
    for (uint8_t i = length; i > 0; --i) {
        if (content[i - 1] == 0) {
            content[i - 1] = distance;
            distance = 1;
        } else {
            ++distance;
        }
    }
    frame[0] = distance;
    content[length] = 0;
    return frame_length(payload);
}

/// Builds a whole frame of a message struct; `frame` needs room for frame_length(sizeof(Message)).
template <typename Message>
uint16_t write_frame(uint8_t* frame, MessageType type, uint8_t sequence, const Message& message) {
    static_assert(sizeof(Message) <= max_payload, "message fits a frame");
    to_bytes(message, frame_payload(frame));
    return finish_frame(frame, type, sequence, sizeof(Message));
}

enum class FrameEvent : uint8_t {
    none,         ///< nothing complete yet
    frame,        ///< type(), sequence() and payload() are good until the next byte
    too_long,     ///< more bytes than any frame has
    bad_stuffing, ///< a COBS code points beyond the end
    bad_checksum,
    unknown_type,
    bad_length, ///< right checksum, wrong length for its type
};
constexpr uint8_t frame_event_count = 7;

/// Bytes in, frames or typed rejects out. After any reject it is ready at the next zero byte.
/// Capacity: the longest content it must take, at most max_content.
template <uint8_t Capacity>
class FrameReader {
  public:
    FrameEvent push(uint8_t byte) {
        if (byte == 0) return finish();
        if (overrun_) return FrameEvent::none;
        if (left_ == 0) {
            // A code byte: it stands for the zero before the run that follows.
            if (length_ != none_yet && !append(0)) return FrameEvent::none;
            if (length_ == none_yet) length_ = 0;
            left_ = static_cast<uint8_t>(byte - 1);
            return FrameEvent::none;
        }
        --left_;
        append(byte);
        return FrameEvent::none;
    }

    uint8_t type() const { return content_[0]; }
    uint8_t sequence() const { return content_[1]; }
    const uint8_t* payload() const { return content_ + frame_head; }

  private:
    static constexpr uint8_t none_yet = 0xFF;
    static_assert(Capacity <= max_content, "a frame is one COBS block");

    bool append(uint8_t byte) {
        if (length_ >= Capacity) {
            overrun_ = true;
            return false;
        }
        content_[length_++] = byte;
        return true;
    }

    FrameEvent finish() {
        const uint8_t length = length_;
        const bool overrun = overrun_;
        const bool cut = left_ != 0;
        length_ = none_yet;
        left_ = 0;
        overrun_ = false;
        if (length == none_yet) return FrameEvent::none; // zeros between frames are idle line
        if (overrun) return FrameEvent::too_long;
        if (cut) return FrameEvent::bad_stuffing;
        if (length < frame_head + frame_crc) return FrameEvent::bad_checksum;
        const uint8_t checked = static_cast<uint8_t>(length - frame_crc);
        const uint16_t sent =
            static_cast<uint16_t>(content_[checked] | (content_[checked + 1] << 8));
        if (crc16(content_, checked) != sent) return FrameEvent::bad_checksum;
        const uint8_t expected = payload_length(content_[0]);
        if (expected == 0) return FrameEvent::unknown_type;
        if (expected != static_cast<uint8_t>(checked - frame_head)) return FrameEvent::bad_length;
        return FrameEvent::frame;
    }

    uint8_t content_[Capacity] = {};
    uint8_t length_ = none_yet;
    uint8_t left_ = 0;
    bool overrun_ = false;
};

} // namespace wire
} // namespace quaycell
