// A conversation in which everything may go wrong: requests, bytes and time in any order. Every
// request ends in exactly one way, and what is handed out has the length of its type.
#include "fuzz/input.h"

#include "link/session.h"
#include "link/slot_window.h"

#include <array>

using namespace quaycell;

namespace {

constexpr std::array requests{wire::MessageType::hello,     wire::MessageType::status,
                              wire::MessageType::read,      wire::MessageType::live,
                              wire::MessageType::circuit,   wire::MessageType::calibration,
                              wire::MessageType::stop,      wire::MessageType::arm,
                              wire::MessageType::set_clock, wire::MessageType::set_speed};

constexpr std::array replies{wire::MessageType::hello_reply,   wire::MessageType::status_reply,
                             wire::MessageType::circuit_reply, wire::MessageType::calibration_reply,
                             wire::MessageType::slot,          wire::MessageType::slot_block,
                             wire::MessageType::read_end,      wire::MessageType::live_reading,
                             wire::MessageType::speed_reply,   wire::MessageType::refusal};

class Conversation {
  public:
    explicit Conversation(fuzz::Input& input) : input_(input) {}

    void run() {
        while (!input_.empty()) {
            step();
            take_events();
        }
        // Silence for ever: what is outstanding ends.
        for (int i = 0; i < 64 && outstanding_; ++i) {
            now_ += std::chrono::hours{1};
            session_.advance(now_);
            take_events();
        }
        fuzz::promise(!outstanding_ && !session_.deadline());
        (void)session_.why_no_answer();
    }

  private:
    void step() {
        const std::uint8_t what = input_.byte();
        switch (what % 4) {
        case 0:
            ask(requests[input_.byte() % requests.size()]);
            break;
        case 1:
            session_.receive(input_.bytes(input_.byte()), now_);
            break;
        case 2:
            now_ += Milliseconds{input_.byte() * 16};
            session_.advance(now_);
            break;
        default:
            reply(replies[input_.byte() % replies.size()]);
        }
        for (const std::uint8_t byte : session_.take_output())
            if (request_.push(byte) == wire::FrameEvent::frame) sequence_ = request_.sequence();
    }

    void ask(wire::MessageType request) {
        const auto length = wire::payload_length(static_cast<std::uint8_t>(request));
        session_.ask(request, payload(length), now_, 1 + input_.byte() % 4);
        outstanding_ = true;
    }

    /// A whole frame, mostly with the number of the request that is outstanding.
    void reply(wire::MessageType type) {
        const auto length = wire::payload_length(static_cast<std::uint8_t>(type));
        const auto content = payload(length);
        std::array<std::uint8_t, wire::max_frame> frame{};
        std::ranges::copy(content, wire::frame_payload(frame.data()));
        const std::uint8_t off = input_.byte();
        const std::uint16_t size =
            wire::finish_frame(frame.data(), type,
                               static_cast<std::uint8_t>(sequence_ + (off < 32 ? off : 0)), length);
        session_.receive({frame.data(), size}, now_);
    }

    std::vector<std::uint8_t> payload(std::uint8_t length) {
        const auto given = input_.bytes(length);
        std::vector<std::uint8_t> bytes(given.begin(), given.end());
        bytes.resize(length);
        return bytes;
    }

    void take_events() {
        while (const auto event = session_.next_event()) {
            const auto& [kind, message] = *event;
            if (kind == SessionEventKind::gave_up) {
                fuzz::promise(message.payload.empty());
            } else {
                fuzz::promise(message.payload.size() ==
                              wire::payload_length(static_cast<std::uint8_t>(message.type)));
            }
            if (message.type == wire::MessageType::slot_block) take_block(message);
            const bool ends = kind == SessionEventKind::answer ||
                              kind == SessionEventKind::refusal ||
                              kind == SessionEventKind::gave_up;
            if (!ends) continue;
            fuzz::promise(outstanding_);
            outstanding_ = false;
        }
        fuzz::promise(session_.deadline().has_value() == outstanding_);
    }

    void take_block(const Message& message) {
        const auto block = message.as<wire::SlotBlock>();
        for (std::uint32_t i = 0; i < wire::slots_per_block; ++i)
            window_.take({block.first_sequence + i, {}});
        window_.end_before(block.first_sequence + block.bytes[0]);
        while (const auto slot = window_.next_in_order())
            fuzz::promise(slot->sequence == next_++);
        const auto missing = window_.first_missing();
        fuzz::promise(!missing || missing->count > 0);
    }

    fuzz::Input& input_;
    Session session_{Timing{}};
    wire::FrameReader<wire::max_content> request_;
    std::uint8_t sequence_ = 0;
    bool outstanding_ = false;
    TimePoint now_{};
    SlotWindow window_{{0xFFFFFFF0U, 64}}; // across the end of the numbers
    std::uint32_t next_ = 0xFFFFFFF0U;
};

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    fuzz::Input input(bytes, count);
    Conversation(input).run();
    return 0;
}
