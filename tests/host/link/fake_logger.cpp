#include "link/fake_logger.h"

#include <algorithm>
#include <thread>

namespace quaycell::test {

using wire::MessageType;

RecordBytes reading_record(std::uint16_t boot, std::uint32_t sequence, std::int16_t cell_a) {
    wire::Reading reading{};
    reading.head = {static_cast<std::uint8_t>(wire::RecordKind::reading), 0, boot, sequence,
                    sequence * 10};
    reading.cell_a = cell_a;
    wire::seal(reading);
    RecordBytes bytes;
    wire::to_bytes(reading, bytes.data());
    return bytes;
}

std::vector<RecordBytes> readings(std::uint16_t boot, std::uint32_t first, std::uint32_t count) {
    std::vector<RecordBytes> records;
    for (std::uint32_t i = 0; i < count; ++i)
        records.push_back(reading_record(boot, first + i));
    return records;
}

wire::StatusReply FakeLogger::current_status() const {
    wire::StatusReply reply = status;
    reply.boot = hello.boot;
    reply.tail_sequence = first;
    reply.next_sequence = first + static_cast<std::uint32_t>(slots.size());
    return reply;
}

Bytes FakeLogger::hear(std::span<const std::uint8_t> bytes) {
    Bytes out;
    for (const std::uint8_t byte : bytes) {
        if (reader_.push(byte) == wire::FrameEvent::frame)
            reply(reader_.type(), reader_.sequence(), reader_.payload(), out);
    }
    return out;
}

void FakeLogger::reply(std::uint8_t type, std::uint8_t sequence, const std::uint8_t* payload,
                       Bytes& out) {
    const auto send = [&](MessageType reply_type, const auto& message) {
        const Bytes frame = frame_of(reply_type, sequence, message);
        out.insert(out.end(), frame.begin(), frame.end());
    };
    if (std::ranges::find(refused, type) != refused.end()) {
        send(MessageType::refusal,
             wire::Refusal{type, static_cast<std::uint8_t>(wire::RefusalReason::unknown_request)});
        return;
    }
    switch (static_cast<MessageType>(type)) {
    case MessageType::hello:
        send(MessageType::hello_reply, hello);
        break;
    case MessageType::circuit:
        send(MessageType::circuit_reply, circuit);
        break;
    case MessageType::calibration:
        send(MessageType::calibration_reply, calibration);
        break;
    case MessageType::set_calibration: {
        if (status.state != static_cast<std::uint8_t>(wire::LoggerState::idle)) {
            send(MessageType::refusal,
                 wire::Refusal{type, static_cast<std::uint8_t>(wire::RefusalReason::recording)});
            break;
        }
        const std::uint16_t turn = calibration.turn;
        calibration = wire::from_bytes<wire::SetCalibration>(payload).calibration;
        calibration.turn = static_cast<std::uint16_t>(turn + 1);
        if (forgets_calibration) calibration.a.gain_ppm = 0;
        wire::seal(calibration);
        send(MessageType::calibration_reply, calibration);
        break;
    }
    case MessageType::read:
        send_slots(wire::from_bytes<wire::Read>(payload), sequence, out);
        break;
    case MessageType::set_clock:
        status.unix_s = wire::from_bytes<wire::SetClock>(payload).unix_s;
        send(MessageType::status_reply, current_status());
        break;
    case MessageType::arm:
        status.interval_s = wire::from_bytes<wire::ArmRequest>(payload).interval_s;
        status.state = static_cast<std::uint8_t>(wire::LoggerState::armed);
        send(MessageType::status_reply, current_status());
        break;
    case MessageType::stop:
        status.state = static_cast<std::uint8_t>(wire::LoggerState::idle);
        send(MessageType::status_reply, current_status());
        break;
    case MessageType::forget: {
        const auto before = wire::from_bytes<wire::ForgetRequest>(payload).before_sequence;
        if (before != current_status().next_sequence) {
            send(MessageType::refusal,
                 wire::Refusal{type, static_cast<std::uint8_t>(wire::RefusalReason::bad_argument)});
            break;
        }
        first = before;
        slots.clear();
        status.state = static_cast<std::uint8_t>(wire::LoggerState::idle);
        send(MessageType::status_reply, current_status());
        break;
    }
    case MessageType::set_speed:
        speed = wire::from_bytes<wire::SetSpeed>(payload).speed;
        speeds.push_back(speed);
        send(MessageType::speed_reply, wire::SpeedReply{speed, 0});
        break;
    case MessageType::live:
        send(MessageType::status_reply, current_status());
        lives.push_back(wire::from_bytes<wire::LiveRequest>(payload).on);
        if (lives.back() == 0) break;
        for (int i = 0; i < live_readings; ++i) {
            wire::LiveReading live{};
            live.reading = wire::from_bytes<wire::Reading>(
                reading_record(hello.boot, static_cast<std::uint32_t>(i)).data());
            send(MessageType::live_reading, live);
        }
        break;
    default:
        send(MessageType::status_reply, current_status());
        break;
    }
}

void FakeLogger::send_slots(const wire::Read& asked, std::uint8_t sequence, Bytes& out) {
    reads.push_back(asked);
    const auto send = [&](MessageType type, const auto& message) {
        const Bytes frame = frame_of(type, sequence, message);
        out.insert(out.end(), frame.begin(), frame.end());
    };
    const std::uint32_t from = asked.first_sequence - first;
    if (from > slots.size()) {
        send(MessageType::refusal,
             wire::Refusal{static_cast<std::uint8_t>(MessageType::read),
                           static_cast<std::uint8_t>(wire::RefusalReason::not_that_old)});
        return;
    }
    const std::uint32_t end =
        from + std::min(asked.count, static_cast<std::uint32_t>(slots.size()) - from);
    std::uint32_t at = from;
    for (; at + wire::slots_per_block <= end; at += wire::slots_per_block) {
        wire::SlotBlock block{first + at, {}};
        for (std::uint32_t i = 0; i < wire::slots_per_block; ++i)
            std::ranges::copy(slots[at + i], block.bytes + i * wire::record_size);
        send(MessageType::slot_block, block);
    }
    for (; at < end; ++at) {
        wire::Slot slot{first + at, {}};
        std::ranges::copy(slots[at], slot.bytes);
        send(MessageType::slot, slot);
    }
    send(MessageType::read_end, wire::ReadEnd{first + end, 0});
}

namespace {

class Line : public Transport {
  public:
    Line(FakeLogger& logger, LineFault fault, std::size_t chunk)
        : logger_(logger), fault_(std::move(fault)), chunk_(chunk) {}

    Result<std::size_t> read_some(std::span<std::uint8_t> into, TimePoint deadline) override {
        if (waiting_.empty()) {
            std::this_thread::sleep_until(deadline);
            return std::size_t{0};
        }
        const std::size_t count = std::min({into.size(), chunk_, waiting_.size()});
        std::copy_n(waiting_.begin(), count, into.begin());
        waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(count));
        return count;
    }

    Result<Done> write_all(std::span<const std::uint8_t> bytes) override {
        Bytes said = logger_.hear(bytes);
        if (fault_) fault_(said);
        waiting_.insert(waiting_.end(), said.begin(), said.end());
        return Done{};
    }

    const std::string& name() const override { return name_; }

  private:
    FakeLogger& logger_;
    LineFault fault_;
    std::size_t chunk_;
    std::deque<std::uint8_t> waiting_;
    std::string name_ = "test line";
};

class FastLine final : public Line {
  public:
    FastLine(FakeLogger& logger, SpeedFault fault)
        : Line(
              logger,
              [this](Bytes& said) {
                  if (fault_) fault_(baud_, said);
              },
              64),
          logger_(logger), fault_(std::move(fault)) {}

    bool set_baud(std::uint32_t baud) override {
        baud_ = baud;
        return true;
    }

    Result<Done> write_all(std::span<const std::uint8_t> bytes) override {
        if (baud_ == wire::baud_of(logger_.speed)) return Line::write_all(bytes);
        logger_.speed = 0;
        return Done{};
    }

  private:
    FakeLogger& logger_;
    SpeedFault fault_;
    std::uint32_t baud_ = wire::baud_rate;
};

} // namespace

std::unique_ptr<Transport> line_to(FakeLogger& logger, LineFault fault, std::size_t chunk) {
    return std::make_unique<Line>(logger, std::move(fault), chunk);
}

std::unique_ptr<Transport> fast_line_to(FakeLogger& logger, SpeedFault fault) {
    return std::make_unique<FastLine>(logger, std::move(fault));
}

} // namespace quaycell::test
