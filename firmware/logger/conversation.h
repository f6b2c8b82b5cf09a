// The logger's side of the conversation in wire/PROTOCOL.md: bytes in, replies out, one frame at a
// time, never waiting.
//
// Line:    bool take(uint8_t& byte)      the next byte received
//          bool ready()                  frame() is free, for the next one to send
//          uint8_t* frame(), void send() up to the zero that ends it
//          void set_speed(uint8_t speed) of wire::SetSpeed, once all that was given it is sent
// Station: the logger behind it, see Logger.
#pragma once

#include "logger/check_sums.h"
#include "wire/frame.h"

namespace quaycell {
namespace logger {

template <typename Line, typename Station>
class Conversation {
  public:
    constexpr Conversation(Line& line, Station& station) : line_(line), station_(station) {}

    /// A host came or went: nothing of an earlier conversation counts.
    void reset() {
        reader_.reset();
        requested_ = false;
        streaming_ = false;
        live_pending_ = false;
        speed_ = 0;
        station_.watch(false);
    }

    /// The line runs faster than at the beginning; then second() is to come about every second.
    bool fast() const { return speed_ != 0; }

    /// Ends a raised speed when it was not used since the last time: the host has gone, has fallen
    /// back, or does not get through.
    void second() {
        if (!used_) change_speed(0);
        used_ = false;
    }

    /// A reading for a host that watches.
    void offer(const wire::Reading& reading, bool recorded, CheckSums& checks) {
        live_ = wire::LiveReading{};
        live_.reading = reading;
        checks.take_look(live_.zero, live_.reference);
        live_.recorded = recorded ? 1 : 0;
        live_pending_ = true;
    }

    /// Goes on as far as possible; true when it can go on at once, or when it is the flash that
    /// keeps it waiting.
    bool step() {
        collect();
        if (!line_.ready()) return false;
        if (live_pending_) {
            live_pending_ = false;
            send(wire::MessageType::live_reading, live_sequence_, live_);
            return false;
        }
        if (requested_) return answer();
        return streaming_ && stream();
    }

  private:
    static constexpr uint8_t longest_request = wire::frame_head + sizeof(wire::SetCalibration);
    static constexpr uint8_t most_bad_frames = 8; ///< in a row, at a raised speed; our judgement

    void collect() {
        uint8_t byte;
        while (!requested_ && line_.take(byte)) {
            const wire::FrameEvent event = reader_.push(byte);
            requested_ = event == wire::FrameEvent::frame ||
                         event == wire::FrameEvent::unknown_type ||
                         event == wire::FrameEvent::bad_length;
            understood_ = event != wire::FrameEvent::bad_length;
            if (event == wire::FrameEvent::none) continue;
            if (requested_) used_ = true;
            bad_frames_ = requested_ ? uint8_t{0} : static_cast<uint8_t>(bad_frames_ + 1);
            if (bad_frames_ >= most_bad_frames) change_speed(0);
        }
        if (requested_) streaming_ = false;
    }

    bool answer() {
        if (!understood_) return refuse(wire::RefusalReason::bad_argument);
        switch (static_cast<wire::MessageType>(reader_.type())) {
        case wire::MessageType::hello:
            return reply(wire::MessageType::hello_reply, station_.hello());
        case wire::MessageType::status:
            return reply_status();
        case wire::MessageType::circuit:
            return reply(wire::MessageType::circuit_reply, station_.circuit());
        case wire::MessageType::calibration:
            return reply(wire::MessageType::calibration_reply, station_.calibration());
        case wire::MessageType::set_calibration:
            return set_calibration();
        case wire::MessageType::set_clock:
            return set_clock();
        case wire::MessageType::arm:
            return arm();
        case wire::MessageType::stop:
            if (!station_.log_ready()) return true;
            return station_.stop() ? reply_status() : refuse(wire::RefusalReason::flash_fault);
        case wire::MessageType::forget:
            return forget();
        case wire::MessageType::live:
            return watch();
        case wire::MessageType::set_speed:
            return set_speed();
        case wire::MessageType::read:
            return begin_stream();
        default:
            return refuse(wire::RefusalReason::unknown_request);
        }
    }

    bool set_calibration() {
        wire::Calibration calibration = request<wire::SetCalibration>().calibration;
        if (!wire::is_valid(calibration)) return refuse(wire::RefusalReason::bad_argument);
        if (station_.recording()) return refuse(wire::RefusalReason::recording);
        if (!station_.set_calibration(calibration))
            return refuse(wire::RefusalReason::eeprom_fault);
        return reply(wire::MessageType::calibration_reply, calibration);
    }

    bool set_clock() {
        const uint32_t unix_s = request<wire::SetClock>().unix_s;
        if (!station_.is_clock_time(unix_s)) return refuse(wire::RefusalReason::bad_argument);
        if (!station_.log_ready()) return true;
        station_.set_clock(unix_s);
        return reply_status();
    }

    bool arm() {
        const wire::ArmRequest arm = request<wire::ArmRequest>();
        const bool known_policy =
            arm.policy <= static_cast<uint8_t>(wire::FullPolicy::overwrite_oldest);
        if (arm.interval_s < wire::shortest_interval_s ||
            arm.interval_s > wire::longest_interval_s || !known_policy)
            return refuse(wire::RefusalReason::bad_argument);
        if (!station_.log_ready_to_arm()) return true;
        return station_.arm(arm) ? reply_status() : refuse(wire::RefusalReason::flash_fault);
    }

    bool forget() {
        const uint32_t before = request<wire::ForgetRequest>().before_sequence;
        // Asked once more, because the answer was lost: it is done already.
        if (!wire::sequence_before(station_.log().tail_sequence(), before)) return reply_status();
        if (before != station_.log().next_sequence())
            return refuse(wire::RefusalReason::bad_argument);
        if (!station_.log_ready_to_arm()) return true;
        return station_.forget() ? reply_status() : refuse(wire::RefusalReason::flash_fault);
    }

    bool watch() {
        const uint8_t on = request<wire::LiveRequest>().on;
        if (on > 1) return refuse(wire::RefusalReason::bad_argument);
        live_sequence_ = reader_.sequence();
        live_pending_ = false;
        station_.watch(on == 1);
        return reply_status();
    }

    bool set_speed() {
        const uint8_t speed = request<wire::SetSpeed>().speed;
        if (speed > wire::fastest_speed) return refuse(wire::RefusalReason::bad_argument);
        reply(wire::MessageType::speed_reply, wire::SpeedReply{speed, 0});
        change_speed(speed);
        used_ = false; // a first request at the new speed has to confirm it
        return false;
    }

    void change_speed(uint8_t speed) {
        bad_frames_ = 0;
        if (speed == speed_) return;
        speed_ = speed;
        line_.set_speed(speed);
    }

    bool begin_stream() {
        const wire::Read read = request<wire::Read>();
        const uint32_t from_tail = read.first_sequence - station_.log().tail_sequence();
        const uint32_t stored = station_.log().next_sequence() - station_.log().tail_sequence();
        if (from_tail > stored) return refuse(wire::RefusalReason::not_that_old);
        const uint32_t left = stored - from_tail;
        stream_next_ = read.first_sequence;
        stream_end_ = stream_next_ + (read.count < left ? read.count : left);
        stream_sequence_ = reader_.sequence();
        requested_ = false;
        streaming_ = true;
        return stream();
    }

    bool stream() {
        const uint32_t left = stream_end_ - stream_next_;
        // A ring may have taken the slots meanwhile, or the flash is gone; then the stream ends
        // early.
        const uint32_t tail = station_.log().tail_sequence();
        const uint32_t stored = station_.log().next_sequence() - tail;
        if (left == 0 || stream_next_ - tail >= stored) {
            streaming_ = false;
            send(wire::MessageType::read_end, stream_sequence_, wire::ReadEnd{stream_next_, 0});
            return false;
        }
        if (!station_.log().readable()) return true;
        const bool block = left >= wire::slots_per_block;
        const uint8_t slots = block ? wire::slots_per_block : uint8_t{1};
        uint8_t* payload = wire::frame_payload(line_.frame());
        wire::to_bytes(stream_next_, payload);
        payload += sizeof stream_next_;
        for (uint8_t i = 0; i < slots; ++i, payload += wire::record_size)
            station_.log().read(stream_next_++, payload);
        wire::finish_frame(
            line_.frame(), block ? wire::MessageType::slot_block : wire::MessageType::slot,
            stream_sequence_,
            static_cast<uint8_t>(block ? sizeof(wire::SlotBlock) : sizeof(wire::Slot)));
        line_.send();
        used_ = true;
        return line_.ready();
    }

    template <typename Request>
    Request request() const {
        return wire::from_bytes<Request>(reader_.payload());
    }

    bool reply_status() { return reply(wire::MessageType::status_reply, station_.status()); }

    bool refuse(wire::RefusalReason reason) {
        return reply(wire::MessageType::refusal,
                     wire::Refusal{reader_.type(), static_cast<uint8_t>(reason)});
    }

    template <typename Message>
    bool reply(wire::MessageType type, const Message& message) {
        requested_ = false;
        send(type, reader_.sequence(), message);
        return false;
    }

    template <typename Message>
    void send(wire::MessageType type, uint8_t sequence, const Message& message) {
        wire::write_frame(line_.frame(), type, sequence, message);
        line_.send();
    }

    Line& line_;
    Station& station_;
    wire::FrameReader<longest_request> reader_;
    wire::LiveReading live_ = {};
    uint32_t stream_next_ = 0;
    uint32_t stream_end_ = 0;
    uint8_t stream_sequence_ = 0;
    uint8_t live_sequence_ = 0;
    uint8_t speed_ = 0; ///< of wire::SetSpeed
    uint8_t bad_frames_ = 0;
    bool used_ = false; ///< the raised speed, since the last second()
    bool requested_ = false;
    bool understood_ = false;
    bool streaming_ = false;
    bool live_pending_ = false;
};

} // namespace logger
} // namespace quaycell
