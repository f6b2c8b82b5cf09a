// One life of a logger on the fake board, and what it leaves behind.
#pragma once

#include "fake_board.h"

#include <utility>

namespace quaycell::test {

struct Message {
    wire::MessageType type;
    uint8_t sequence;
    std::vector<uint8_t> payload;

    template <typename Struct>
    Struct as() const {
        if (payload.size() != sizeof(Struct)) throw std::logic_error("another message");
        return wire::from_bytes<Struct>(payload.data());
    }
};

/// One life of a logger, from a restart on, and the seconds that go by.
class Life {
  public:
    explicit Life(FakeBoard& board, uint8_t reset_cause = 0x01) : board_(board), logger_(board) {
        board_.flash.power_up();
        logger_.begin(reset_cause);
        settle({0, false});
    }

    void pass(uint32_t seconds) {
        for (uint32_t s = 0; s < seconds; ++s) {
            board_.clock.tick();
            logger::Wake wake = {0, false};
            if (++since_watchdog_ >= board_.watchdog_s) {
                since_watchdog_ = 0;
                wake.watchdog_s = board_.watchdog_s;
            }
            // Asleep in power-down the logger notices only the alarm and the watchdog.
            if (wake.watchdog_s != 0 || board_.clock_alarm()) settle(wake);
        }
    }

    void plug_in(bool host) {
        board_.host = host;
        settle({0, false});
    }

    void receive(const std::vector<uint8_t>& bytes) {
        board_.line.received.insert(board_.line.received.end(), bytes.begin(), bytes.end());
        settle({0, false});
    }

    template <typename Request>
    void request(wire::MessageType type, const Request& request, uint8_t sequence = 1) {
        std::vector<uint8_t> frame(wire::max_frame);
        frame.resize(wire::write_frame(frame.data(), type, sequence, request));
        receive(frame);
    }

    /// What the logger has said since the last call.
    std::vector<Message> heard() { return std::exchange(heard_, {}); }

    template <typename Request>
    std::vector<Message> ask(wire::MessageType type, const Request& what, uint8_t sequence = 1) {
        request(type, what, sequence);
        return heard();
    }

    logger::Logger<FakeBoard>& logger() { return logger_; }
    logger::Sleep sleep() const { return sleep_; }

  private:
    /// Steps until the logger would sleep with nothing left to wake it at this moment.
    void settle(logger::Wake wake) {
        for (int steps = 0; steps < 10000; ++steps) {
            sleep_ = logger_.step(wake);
            wake = {0, false};
            listen();
            const bool converted = board_.converter.finish();
            const bool sampled = board_.sampler.finish();
            wake.converter_moved = converted;
            if (sleep_ == logger::Sleep::none) {
                if (board_.flash.stuck && steps > 10) return;
                continue;
            }
            if (!converted && !sampled && !spoke_ && board_.line.received.empty()) return;
        }
        throw std::logic_error("the logger never sleeps");
    }

    void listen() {
        const std::vector<uint8_t> bytes = board_.line.carry();
        spoke_ = !bytes.empty();
        for (const uint8_t byte : bytes) {
            const wire::FrameEvent event = reader_.push(byte);
            if (event == wire::FrameEvent::none) continue;
            if (event != wire::FrameEvent::frame) throw std::logic_error("a bad frame was sent");
            const uint8_t length = wire::payload_length(reader_.type());
            heard_.push_back({static_cast<wire::MessageType>(reader_.type()),
                              reader_.sequence(),
                              {reader_.payload(), reader_.payload() + length}});
        }
    }

    FakeBoard& board_;
    logger::Logger<FakeBoard> logger_;
    wire::FrameReader<wire::max_content> reader_{};
    std::vector<Message> heard_{};
    uint8_t since_watchdog_ = 0;
    bool spoke_ = false;
    logger::Sleep sleep_ = logger::Sleep::none;
};

/// All whole records between tail and end.
inline std::vector<std::array<uint8_t, wire::record_size>> records(FakeBoard& board, Life& life) {
    std::vector<std::array<uint8_t, wire::record_size>> found;
    auto& log = life.logger().log();
    for (uint32_t s = log.tail_sequence(); s != log.next_sequence(); ++s) {
        std::array<uint8_t, wire::record_size> bytes{};
        std::copy_n(board.flash.slot(s), wire::record_size, bytes.begin());
        if (wire::is_valid_record(bytes.data())) found.push_back(bytes);
    }
    return found;
}

template <typename Record>
std::vector<Record> records_of(wire::RecordKind kind, FakeBoard& board, Life& life) {
    std::vector<Record> found;
    for (const auto& bytes : records(board, life))
        if (bytes[0] == static_cast<uint8_t>(kind))
            found.push_back(wire::from_bytes<Record>(bytes.data()));
    return found;
}

inline std::vector<uint32_t> reading_ticks(FakeBoard& board, Life& life) {
    std::vector<uint32_t> ticks;
    for (const auto& r : records_of<wire::Reading>(wire::RecordKind::reading, board, life))
        ticks.push_back(r.head.ticks_s);
    return ticks;
}

inline std::vector<uint8_t> kinds(FakeBoard& board, Life& life) {
    std::vector<uint8_t> found;
    for (const auto& bytes : records(board, life))
        found.push_back(bytes[0]);
    return found;
}

/// Plugs a computer in, arms, and pulls the cable.
inline void arm(Life& life, uint16_t interval_s,
                wire::FullPolicy policy = wire::FullPolicy::stop_when_full) {
    life.plug_in(true);
    const auto replies = life.ask(wire::MessageType::arm,
                                  wire::ArmRequest{interval_s, static_cast<uint8_t>(policy), 0});
    if (replies.size() != 1 || replies[0].type != wire::MessageType::status_reply)
        throw std::logic_error("not armed");
    life.plug_in(false);
}

} // namespace quaycell::test
