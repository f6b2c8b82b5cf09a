#include "base/record_bytes.h"
#include "replay/recording.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace quaycell::replay {

namespace {

using wire::MessageType;

std::string name_of(MessageType type) {
    switch (type) {
    case MessageType::hello:
        return "hello";
    case MessageType::status:
        return "status";
    case MessageType::set_clock:
        return "set-clock";
    case MessageType::arm:
        return "arm";
    case MessageType::stop:
        return "stop";
    case MessageType::read:
        return "read";
    case MessageType::live:
        return "live";
    case MessageType::circuit:
        return "circuit";
    case MessageType::calibration:
        return "calibration";
    case MessageType::set_speed:
        return "set-speed";
    default:
        return fmt::format("type {:02x}", static_cast<unsigned>(type));
    }
}

std::string words(const wire::HelloReply& hello) {
    return fmt::format("protocol {}, layout {}, device {:08x}, boot {}, {} sectors, faults {:02x}",
                       hello.protocol, hello.layout, hello.device_id, hello.boot,
                       hello.sector_count, hello.faults);
}

std::string words(const wire::StatusReply& status) {
    constexpr std::array states{"idle", "armed", "full"};
    return fmt::format("{}, interval {} s, records {} to {}, {} slots free, boot {}, faults {:02x}",
                       status.state < states.size() ? states[status.state] : "unknown state",
                       status.interval_s, status.tail_sequence, status.next_sequence,
                       status.free_slots, status.boot, status.faults);
}

std::string words(const wire::Circuit& circuit) {
    return fmt::format("{} nV per code, reference {} uV", circuit.converter_lsb_nv,
                       circuit.reference_uv);
}

std::string words(const wire::Calibration& calibration) {
    return (calibration.flags & wire::calibration_valid) != 0 ? "calibrated" : "not calibrated";
}

std::string words(const wire::SpeedReply& reply) {
    return fmt::format("speed {}", reply.speed);
}

std::string words(const wire::ReadEnd& end) {
    return fmt::format("next {}", end.next_sequence);
}

std::string words(const wire::Refusal& refusal) {
    return fmt::format("reason {}", refusal.reason);
}

std::string words(const wire::LiveReading& live) {
    return fmt::format("cell A code {}, water {}, flags {:04x}, {}", live.reading.cell_a,
                       live.reading.water, live.reading.flags,
                       live.recorded != 0 ? "recorded" : "not recorded");
}

std::string content(const Message& message) {
    switch (message.type) {
    case MessageType::hello_reply:
        return words(message.as<wire::HelloReply>());
    case MessageType::status_reply:
        return words(message.as<wire::StatusReply>());
    case MessageType::circuit_reply:
        return words(message.as<wire::Circuit>());
    case MessageType::calibration_reply:
        return words(message.as<wire::Calibration>());
    case MessageType::speed_reply:
        return words(message.as<wire::SpeedReply>());
    case MessageType::read_end:
        return words(message.as<wire::ReadEnd>());
    case MessageType::live_reading:
        return words(message.as<wire::LiveReading>());
    case MessageType::refusal:
        return words(message.as<wire::Refusal>());
    default:
        return name_of(message.type);
    }
}

/// Slots that came one after another.
struct Run {
    std::uint32_t first = 0;
    std::uint32_t count = 0;
    std::uint32_t good = 0;
};

class Player {
  public:
    void play(const Piece& piece) {
        now_ = TimePoint{} + piece.at;
        if (piece.from == Side::host)
            hear_host(piece.bytes);
        else
            session_.receive(piece.bytes, now_);
        take_events();
    }

    std::string finish() {
        end_run();
        const RejectCounts& counts = session_.rejects();
        say(fmt::format("rejected: {} checksum, {} stuffing, {} length, {} too long, {} unknown, "
                        "{} unmatched",
                        counts.bad_checksum, counts.bad_stuffing, counts.bad_length,
                        counts.too_long, counts.unknown_type, counts.unmatched));
        return text_;
    }

  private:
    void hear_host(const std::vector<std::uint8_t>& bytes) {
        for (const std::uint8_t byte : bytes) {
            sent_.push_back(byte);
            const wire::FrameEvent event = reader_.push(byte);
            if (event == wire::FrameEvent::frame) ask();
            if (event != wire::FrameEvent::none) sent_.clear();
        }
    }

    /// The recorded host has sent a request: the session of today is to send the same bytes.
    void ask() {
        end_run();
        const auto type = static_cast<MessageType>(reader_.type());
        const std::uint8_t sequence = reader_.sequence();
        const std::span payload(reader_.payload(), wire::payload_length(reader_.type()));
        const bool again = sequence == asked_ && session_.deadline();
        // A host that has opened the port anew counts from the beginning.
        if (!again && sequence == 0) begin_anew();
        if (again)
            session_.advance(std::max(now_, *session_.deadline()));
        else
            session_.ask(type, payload, now_, many_attempts);
        asked_ = sequence;
        const bool same = session_.take_output() == sent_;
        say(fmt::format("{} {} #{}{}{}", again ? "asks again" : "asks", name_of(type), sequence,
                        arguments(type, payload), same ? "" : " in other bytes than today"));
    }

    void begin_anew() {
        RejectCounts counts = session_.rejects();
        if (begun_) say(fmt::format("begins anew after {} damaged frames", counts.damaged()));
        begun_ = true;
        session_ = Session(Timing{});
    }

    static std::string arguments(MessageType type, std::span<const std::uint8_t> payload) {
        if (type == MessageType::read) {
            const auto read = wire::from_bytes<wire::Read>(payload.data());
            return fmt::format(": {} slots from {}", read.count, read.first_sequence);
        }
        if (type == MessageType::set_speed) return fmt::format(": speed {}", payload[0]);
        if (type == MessageType::live) return payload[0] != 0 ? ": on" : ": off";
        return "";
    }

    void take_events() {
        while (const auto event = session_.next_event()) {
            if (event->kind == SessionEventKind::part) {
                take_part(event->message);
                continue;
            }
            end_run();
            constexpr std::array kinds{"answer", "part", "live reading", "refusal", "gave up"};
            say(fmt::format("  {}: {}", kinds[static_cast<std::size_t>(event->kind)],
                            content(event->message)));
        }
    }

    void take_part(const Message& message) {
        if (message.type == MessageType::slot)
            take_slots(message.as<wire::Slot>());
        else
            take_slots(message.as<wire::SlotBlock>());
    }

    template <typename Part>
    void take_slots(const Part& part) {
        if (run_ && run_->first + run_->count != part.first_sequence) end_run();
        if (!run_) run_ = Run{part.first_sequence, 0, 0};
        for (std::uint32_t i = 0; i < sizeof part.bytes / wire::record_size; ++i) {
            SequencedRecord slot{part.first_sequence + i, {}};
            std::copy_n(part.bytes + i * wire::record_size, wire::record_size, slot.bytes.begin());
            ++run_->count;
            run_->good += is_good(slot) ? 1 : 0;
        }
    }

    void end_run() {
        if (!run_) return;
        say(fmt::format("  slots {} to {}, {} of {} good", run_->first,
                        run_->first + run_->count - 1, run_->good, run_->count));
        run_.reset();
    }

    void say(const std::string& line) { text_ += line + '\n'; }

    static constexpr int many_attempts = 100; // how often is the recorded host's affair

    Session session_{Timing{}};
    wire::FrameReader<wire::max_content> reader_; // of what the host says
    std::vector<std::uint8_t> sent_;
    std::optional<std::uint8_t> asked_;
    bool begun_ = false;
    std::optional<Run> run_;
    TimePoint now_{};
    std::string text_;
};

} // namespace

std::string events_of(const std::vector<Piece>& pieces) {
    Player player;
    for (const Piece& piece : pieces)
        player.play(piece);
    return player.finish();
}

} // namespace quaycell::replay
