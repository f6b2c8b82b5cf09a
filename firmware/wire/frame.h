// Framing: COBS-stuffed [type, sequence, payload], a checksum of the stuffed bytes, then a zero.
//
// The checksum counts what is on the line, not what it means: a flipped bit in a code byte moves
// zeros about in the content, and a checksum of the content would miss one such change in 65536. It
// travels as three bytes of seven, seven and two bits with the top bit set, so that none of them is
// zero.
#pragma once

#include "wire/cobs.h"
#include "wire/messages.h"

namespace quaycell {
namespace wire {

constexpr uint8_t frame_head = 2; ///< type, sequence
constexpr uint8_t frame_crc = 3;
constexpr uint8_t max_content = 250; ///< type, sequence, payload: a frame's bytes count in 8 bits
constexpr uint8_t max_payload = max_content - frame_head;
constexpr uint16_t max_frame = 1 + max_content + frame_crc + 1;
static_assert(sizeof(SlotBlock) <= max_payload, "the longest message fits a frame");
static_assert(max_content <= max_block, "a frame is one COBS block");

constexpr uint16_t frame_length(uint8_t payload) {
    return static_cast<uint16_t>(1 + frame_head + payload + frame_crc + 1);
}

/// Where the payload of a frame that is being built goes.
inline uint8_t* frame_payload(uint8_t* frame) {
    return frame + 1 + frame_head;
}

/// The checksum of `length` stuffed bytes as it follows them.
inline void put_frame_crc(const uint8_t* stuffed, uint8_t length, uint8_t* bytes) {
    const uint16_t crc = crc16(stuffed, length);
    bytes[0] = static_cast<uint8_t>(0x80 | (crc & 0x7F));
    bytes[1] = static_cast<uint8_t>(0x80 | ((crc >> 7) & 0x7F));
    bytes[2] = static_cast<uint8_t>(0x80 | (crc >> 14));
}

/// Completes a frame whose payload already stands at frame_payload(frame); `frame` needs room for
/// frame_length(payload). Returns the number of bytes to send.
inline uint16_t finish_frame(uint8_t* frame, MessageType type, uint8_t sequence, uint8_t payload) {
    frame[1] = static_cast<uint8_t>(type);
    frame[2] = sequence;
    const uint8_t content = static_cast<uint8_t>(frame_head + payload);
    const uint8_t stuffed = static_cast<uint8_t>(1 + content);
    stuff(frame, content);
    put_frame_crc(frame, stuffed, frame + stuffed);
    frame[stuffed + frame_crc] = 0;
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
    too_long,     ///< more bytes than the reader takes
    bad_stuffing, ///< too short to be a frame, or a COBS code points beyond its end
    bad_checksum,
    unknown_type,
    bad_length, ///< right checksum, wrong length for its type
};
constexpr uint8_t frame_event_count = 7;

/// Bytes in, frames or typed rejects out. After any event it is ready for the next frame.
/// Capacity: the longest content (type, sequence, payload) it must take, at most max_content.
template <uint8_t Capacity>
class FrameReader {
  public:
    FrameEvent push(uint8_t byte) {
        if (byte == 0) {
            const uint8_t count = count_;
            count_ = 0;
            return count == 0 ? FrameEvent::none : check(count); // zeros in a row: an idle line
        }
        if (count_ < sizeof bytes_) bytes_[count_] = byte;
        if (count_ <= sizeof bytes_) ++count_;
        return FrameEvent::none;
    }

    /// Forgets the frame that is coming in: whoever began it is gone.
    void reset() { count_ = 0; }

    uint8_t type() const { return bytes_[1]; }
    uint8_t sequence() const { return bytes_[2]; }
    const uint8_t* payload() const { return bytes_ + 1 + frame_head; }

  private:
    static_assert(Capacity <= max_content, "a frame is one block");

    FrameEvent check(uint8_t count) {
        if (count > sizeof bytes_) return FrameEvent::too_long;
        if (count < 1 + frame_head + frame_crc) return FrameEvent::bad_stuffing;
        const uint8_t stuffed = static_cast<uint8_t>(count - frame_crc);
        uint8_t expected[frame_crc];
        put_frame_crc(bytes_, stuffed, expected);
        const bool same = memcmp(expected, bytes_ + stuffed, frame_crc) == 0;
        if (!unstuff(bytes_, stuffed)) return FrameEvent::bad_stuffing;
        if (!same) return FrameEvent::bad_checksum;
        const uint8_t payload = payload_length(type());
        if (payload == 0) return FrameEvent::unknown_type;
        return payload == stuffed - 1 - frame_head ? FrameEvent::frame : FrameEvent::bad_length;
    }

    uint8_t bytes_[1 + Capacity + frame_crc] = {};
    uint8_t count_ = 0; ///< of the frame that is coming in; one more than fit: too long
};

} // namespace wire
} // namespace quaycell
