// The conversation with a logger, without the line: bytes in, events out. The caller says what time
// it is, sends what take_output() hands over and looks at next_event().
#pragma once

#include "base/result.h"
#include "base/time.h"
#include "link/transport.h"
#include "wire/frame.h"

#include <cstdint>
#include <cstring>
#include <deque>
#include <optional>
#include <span>
#include <vector>

namespace quaycell {

/// How long to wait for a logger. It answers at once, but for what has to wait until its flash has
/// ended an erase (0.4 s) or until a frame that it is sending is out.
struct Timing {
    Milliseconds answer{1200}; ///< for the first attempt; each further one waits half of it more
    int attempts = 4;          ///< until the logger counts as silent
    Milliseconds again{600};   ///< for slots, when a first request for them was met with silence
    /// Between two live readings, which come about every second. One or two that a noisy line
    /// damages are no silence: going live anew has the logger look at its leads, and the readings
    /// after that do not count.
    Milliseconds live_reading{3200};
    Milliseconds confirm{300}; ///< for the first answer at another speed of the line
    Milliseconds lapse{1300};  ///< until the logger has given up a speed that was not confirmed
};

/// Frames that were not used, by the reason.
struct RejectCounts {
    std::uint64_t too_long = 0;
    std::uint64_t bad_stuffing = 0;
    std::uint64_t bad_checksum = 0;
    std::uint64_t unknown_type = 0;
    std::uint64_t bad_length = 0;
    std::uint64_t unmatched = 0; ///< good, but they answer nothing that was asked: late or doubled

    std::uint64_t damaged() const {
        return too_long + bad_stuffing + bad_checksum + unknown_type + bad_length;
    }

    RejectCounts& operator+=(const RejectCounts& more);
};

struct Message {
    wire::MessageType type;
    std::vector<std::uint8_t> payload; ///< of exactly the length of its type

    template <typename Struct>
    Struct as() const {
        if (payload.size() != sizeof(Struct))
            throw std::logic_error("Message: not what its type holds");
        return wire::from_bytes<Struct>(payload.data());
    }
};

enum class SessionEventKind {
    answer,       ///< the last of what was asked for; nothing is outstanding any more
    part,         ///< slots of a read that goes on
    live_reading, ///< comes by itself while the logger is live
    refusal,      ///< `message` is the Refusal; nothing is outstanding any more
    gave_up,      ///< no answer after all attempts; no message; nothing is outstanding any more
};

struct SessionEvent {
    SessionEventKind kind;
    Message message;
};

class Session {
  public:
    explicit Session(const Timing& timing) : timing_(timing) {}

    /// Makes this the outstanding request, in place of any other; `wait` is for the first attempt
    /// and for each part of the answer. Each attempt carries the same sequence number, so that a
    /// late answer to an earlier one counts too.
    void ask(wire::MessageType request, std::span<const std::uint8_t> payload, TimePoint now,
             int attempts, Milliseconds wait);
    void ask(wire::MessageType request, std::span<const std::uint8_t> payload, TimePoint now,
             int attempts) {
        ask(request, payload, now, attempts, timing_.answer);
    }

    /// The bytes to send now; empty when there are none.
    std::vector<std::uint8_t> take_output() { return std::exchange(output_, {}); }

    void receive(std::span<const std::uint8_t> bytes, TimePoint now);

    /// Sends again or gives up when the answer is overdue.
    void advance(TimePoint now);

    /// When advance() has something to do; nothing while no request is outstanding.
    std::optional<TimePoint> deadline() const;

    std::optional<SessionEvent> next_event();

    const RejectCounts& rejects() const { return rejects_; }

    /// Whether any byte at all has come since the last ask().
    bool heard_since_ask() const { return bytes_since_ask_ > 0; }

    /// After gave_up: a line on which nothing arrived or frames but not the answer (silent, told
    /// apart in words), or bytes but no frame (no_frames).
    Error why_no_answer() const;

  private:
    struct Outstanding {
        wire::MessageType request;
        std::uint8_t sequence;
        std::vector<std::uint8_t> frame;
        int attempts_left;
        Milliseconds wait;
        TimePoint deadline;
    };

    void take_frame(TimePoint now);
    void finish(SessionEventKind kind, Message message);

    Timing timing_;
    wire::FrameReader<wire::max_content> reader_;
    std::uint8_t next_sequence_ = 0;
    std::optional<Outstanding> outstanding_;
    std::vector<std::uint8_t> output_;
    std::deque<SessionEvent> events_;
    RejectCounts rejects_;
    std::uint64_t bytes_since_ask_ = 0;
    std::uint64_t frames_since_ask_ = 0;
};

} // namespace quaycell
