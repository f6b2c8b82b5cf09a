// Checks of the wire contract that compile as freestanding C++14, so that the same ones run on the
// host under two standards and, built by avr-g++, on the simulated microcontroller.
#pragma once

#include "record_checks.h"
#include "wire/frame.h"

namespace quaycell {
namespace test {

struct WireCheck {
    const char* name;
    bool (*passes)();
};

/// Numbers that only have to be various.
class Dice {
  public:
    uint8_t byte() {
        state_ = state_ * 1664525U + 1013904223U;
        return static_cast<uint8_t>(state_ >> 24);
    }

  private:
    uint32_t state_ = 20260504;
};

// Check value of CRC-16/CCITT-FALSE in the catalogue of CRC algorithms.
inline bool crc_has_its_check_value() {
    const uint8_t digits[] = {'1', '2', '3', '4', '5', '6', '7', '8', '9'};
    return wire::crc16(digits, sizeof digits) == 0x29B1;
}

template <uint8_t Plain, uint8_t Stuffed>
bool stuffs_both_ways(const uint8_t (&plain)[Plain], const uint8_t (&stuffed)[Stuffed]) {
    static_assert(Stuffed == Plain + 1, "one code byte in front");
    uint8_t block[Stuffed];
    memcpy(block + 1, plain, Plain);
    wire::stuff(block, Plain);
    if (memcmp(block, stuffed, Stuffed) != 0) return false;
    return wire::unstuff(block, Stuffed) && memcmp(block + 1, plain, Plain) == 0;
}

// The examples that encyclopaedias and libraries give for COBS, from memory.
inline bool cobs_examples() {
    const uint8_t a[] = {0x00};
    const uint8_t a_stuffed[] = {0x01, 0x01};
    const uint8_t b[] = {0x00, 0x00};
    const uint8_t b_stuffed[] = {0x01, 0x01, 0x01};
    const uint8_t c[] = {0x00, 0x11, 0x00};
    const uint8_t c_stuffed[] = {0x01, 0x02, 0x11, 0x01};
    const uint8_t d[] = {0x11, 0x22, 0x00, 0x33};
    const uint8_t d_stuffed[] = {0x03, 0x11, 0x22, 0x02, 0x33};
    const uint8_t e[] = {0x11, 0x22, 0x33, 0x44};
    const uint8_t e_stuffed[] = {0x05, 0x11, 0x22, 0x33, 0x44};
    const uint8_t f[] = {0x11, 0x00, 0x00, 0x00};
    const uint8_t f_stuffed[] = {0x02, 0x11, 0x01, 0x01, 0x01};
    // Cheshire and Baker's figure: the start of an IP packet, zeros and all.
    const uint8_t g[] = {0x45, 0x00, 0x00, 0x2C, 0x4C, 0x79, 0x00, 0x00, 0x40, 0x06, 0x4F, 0x37};
    const uint8_t g_stuffed[] = {0x02, 0x45, 0x01, 0x04, 0x2C, 0x4C, 0x79,
                                 0x01, 0x05, 0x40, 0x06, 0x4F, 0x37};
    return stuffs_both_ways(a, a_stuffed) && stuffs_both_ways(b, b_stuffed) &&
           stuffs_both_ways(c, c_stuffed) && stuffs_both_ways(d, d_stuffed) &&
           stuffs_both_ways(e, e_stuffed) && stuffs_both_ways(f, f_stuffed) &&
           stuffs_both_ways(g, g_stuffed);
}

// 254 bytes without a zero are the longest block: code 0xFF.
inline bool cobs_longest_block() {
    uint8_t block[wire::max_block + 1];
    for (uint8_t i = 1; i <= wire::max_block; ++i)
        block[i] = i;
    wire::stuff(block, wire::max_block);
    if (block[0] != 0xFF || !wire::unstuff(block, sizeof block)) return false;
    for (uint8_t i = 1; i <= wire::max_block; ++i)
        if (block[i] != i) return false;
    return true;
}

// A code that points beyond the end, and one that points nowhere.
inline bool cobs_nonsense() {
    uint8_t beyond[] = {0x05, 0x11, 0x22};
    uint8_t nowhere[] = {0x02, 0x11, 0x00, 0x22};
    return !wire::unstuff(beyond, sizeof beyond) && !wire::unstuff(nowhere, sizeof nowhere) &&
           !wire::unstuff(beyond, 0);
}

// One byte more than a reader takes is too long, and the next frame is good again.
inline bool too_long_then_good() {
    const wire::SetClock longer = {1};
    const wire::StatusRequest fits = {0};
    uint8_t frame[wire::frame_length(sizeof longer)];
    wire::FrameReader<wire::frame_head + sizeof fits> reader;
    wire::FrameEvent event = wire::FrameEvent::none;
    uint16_t count = wire::write_frame(frame, wire::MessageType::set_clock, 1, longer);
    for (uint16_t i = 0; i < count; ++i)
        event = reader.push(frame[i]);
    if (event != wire::FrameEvent::too_long) return false;
    count = wire::write_frame(frame, wire::MessageType::status, 1, fits);
    for (uint16_t i = 0; i < count; ++i)
        event = reader.push(frame[i]);
    return event == wire::FrameEvent::frame;
}

// Anything shorter than the shortest frame.
inline bool too_short_is_rejected() {
    const uint8_t bytes[] = {0x03, 0x11, 0x22, 0x80, 0x80};
    for (uint8_t count = 1; count <= sizeof bytes; ++count) {
        wire::FrameReader<16> reader;
        for (uint8_t i = 0; i < count; ++i)
            reader.push(bytes[i]);
        if (reader.push(0) != wire::FrameEvent::bad_stuffing) return false;
    }
    return true;
}

// A frame worked out by hand: type 2, sequence 0, payload 34 00 stuffs to 02 02 02 34 01; the CRC
// of those five bytes is 0x0FF7 (computed bit by bit, not by this program).
inline bool a_frame_lies_as_protocol_says() {
    const uint8_t expected[] = {0x02, 0x02, 0x02, 0x34, 0x01, 0xF7, 0x9F, 0x80, 0x00};
    uint8_t frame[sizeof expected];
    const uint16_t count =
        wire::write_frame(frame, wire::MessageType::status, 0, wire::StatusRequest{0x0034});
    return count == sizeof expected && memcmp(frame, expected, sizeof expected) == 0;
}

using Reader = wire::FrameReader<wire::max_content>;

/// What the bytes come to; `frames` counts whole frames among them.
inline wire::FrameEvent read_all(Reader& reader, const uint8_t* bytes, uint16_t count,
                                 uint16_t& frames) {
    wire::FrameEvent last = wire::FrameEvent::none;
    for (uint16_t i = 0; i < count; ++i) {
        const wire::FrameEvent event = reader.push(bytes[i]);
        if (event == wire::FrameEvent::frame) ++frames;
        if (event != wire::FrameEvent::none) last = event;
    }
    return last;
}

inline wire::MessageType any_type(Dice& dice) {
    for (;;) {
        const uint8_t type = dice.byte();
        if (wire::payload_length(type) != 0) return static_cast<wire::MessageType>(type);
    }
}

/// A frame of that type with any payload; half of its bytes are zero.
inline uint16_t any_frame(Dice& dice, uint8_t* frame, wire::MessageType type) {
    const uint8_t payload = wire::payload_length(static_cast<uint8_t>(type));
    for (uint8_t i = 0; i < payload; ++i) {
        const uint8_t byte = dice.byte();
        wire::frame_payload(frame)[i] = (byte & 1) != 0 ? byte : 0;
    }
    return wire::finish_frame(frame, type, dice.byte(), payload);
}

inline bool frames_make_the_round_trip() {
    Dice dice;
    Reader reader;
    for (uint8_t round = 0; round < 100; ++round) {
        uint8_t frame[wire::max_frame];
        const wire::MessageType type = any_type(dice);
        const uint8_t payload = wire::payload_length(static_cast<uint8_t>(type));
        uint8_t plain[wire::max_payload];
        for (uint8_t i = 0; i < payload; ++i)
            plain[i] = static_cast<uint8_t>(dice.byte() & 0x81);
        memcpy(wire::frame_payload(frame), plain, payload);
        const uint16_t count = wire::finish_frame(frame, type, round, payload);
        if (count != wire::frame_length(payload)) return false;
        for (uint16_t i = 0; i + 1 < count; ++i)
            if (frame[i] == 0) return false;
        uint16_t frames = 0;
        if (read_all(reader, frame, count, frames) != wire::FrameEvent::frame || frames != 1)
            return false;
        if (reader.type() != static_cast<uint8_t>(type) || reader.sequence() != round ||
            memcmp(reader.payload(), plain, payload) != 0)
            return false;
    }
    return true;
}

// Also where a flip makes a zero and cuts the frame in two, or glues it to what follows.
inline bool every_bit_flip_is_rejected() {
    Dice dice;
    Reader reader;
    for (uint8_t round = 0; round < 6; ++round) {
        uint8_t frame[wire::max_frame + 1];
        wire::MessageType type = any_type(dice);
        if (round == 0) type = wire::MessageType::live_reading;
        uint16_t count = any_frame(dice, frame, type);
        frame[count++] = 0; // ends it also when its own end was hit
        for (uint16_t bit = 0; bit < (count - 1) * 8; ++bit) {
            frame[bit / 8] = static_cast<uint8_t>(frame[bit / 8] ^ (1U << (bit % 8)));
            uint16_t frames = 0;
            read_all(reader, frame, count, frames);
            if (frames != 0) return false;
            frame[bit / 8] = static_cast<uint8_t>(frame[bit / 8] ^ (1U << (bit % 8)));
        }
    }
    return true;
}

inline bool a_frame_is_found_after_any_garbage() {
    Dice dice;
    Reader reader;
    for (uint8_t round = 0; round < 100; ++round) {
        for (uint8_t i = 0; i < round * 2; ++i)
            reader.push(dice.byte());
        reader.push(0);
        uint8_t frame[wire::max_frame];
        const uint16_t count = any_frame(dice, frame, any_type(dice));
        uint16_t frames = 0;
        if (read_all(reader, frame, count, frames) != wire::FrameEvent::frame || frames != 1)
            return false;
    }
    return true;
}

// A right checksum does not help a frame that is longer or shorter than its type.
inline bool every_type_has_one_length() {
    Reader reader;
    for (uint16_t type = 0; type < 256; ++type) {
        const uint8_t exact = wire::payload_length(static_cast<uint8_t>(type));
        for (uint8_t length = 0; length < wire::max_payload;
             length = static_cast<uint8_t>(length + 1)) {
            if (exact > 1 && length + 1 < exact) length = static_cast<uint8_t>(exact - 1);
            uint8_t frame[wire::max_frame] = {};
            const uint16_t count =
                wire::finish_frame(frame, static_cast<wire::MessageType>(type), 1, length);
            uint16_t frames = 0;
            const wire::FrameEvent event = read_all(reader, frame, count, frames);
            const wire::FrameEvent expected = exact == 0        ? wire::FrameEvent::unknown_type
                                              : exact == length ? wire::FrameEvent::frame
                                                                : wire::FrameEvent::bad_length;
            if (event != expected) return false;
            if (exact == 0 || length > exact) break;
        }
    }
    return true;
}

constexpr WireCheck wire_checks[] = {
    {"the CRC has its published check value", crc_has_its_check_value},
    {"the published COBS examples, both ways", cobs_examples},
    {"the longest COBS block", cobs_longest_block},
    {"COBS codes that lead nowhere are rejected", cobs_nonsense},
    {"a frame lies on the line as PROTOCOL.md says", a_frame_lies_as_protocol_says},
    {"too long a frame is dropped, the next is good", too_long_then_good},
    {"too short a frame is rejected", too_short_is_rejected},
    {"frames make the round trip", frames_make_the_round_trip},
    {"every single-bit flip of a frame is rejected", every_bit_flip_is_rejected},
    {"a frame is found after any garbage", a_frame_is_found_after_any_garbage},
    {"every message type has exactly one length", every_type_has_one_length},
    {"blank and zeroed slots are no records", blank_and_zeroed_slots_are_no_records},
    {"every single-bit flip of a record shows", every_bit_flip_of_a_record_shows},
    {"a record lies in memory as FORMAT.md says", a_record_lies_as_format_says},
    {"sequence numbers compare through the wrap", sequences_compare_through_the_wrap},
};

} // namespace test
} // namespace quaycell
