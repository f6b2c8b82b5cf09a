// What a host may send to a logger, in any order with time, cables, failing chips, low cells,
// restarts and power cuts. It never hangs, it writes nothing but what the log allows (the flash in
// memory throws otherwise), what stood in the log stands there after a restart, and it still
// answers in the end.
#include "firmware/life.h"
#include "fuzz/input.h"

#include <array>
#include <optional>
#include <utility>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr std::uint16_t sectors = 4; // few, so that they fill
constexpr std::uint8_t longest_raw = 64, longest_wait_s = 16;

class Deployment {
  public:
    explicit Deployment(fuzz::Input& input) : input_(input) { start(); }

    void run() {
        while (!input_.empty())
            step();
        board_.flash.cut_after(0);
        life_->plug_in(false);
        life_->plug_in(true);
        life_->heard();
        const auto replies =
            life_->ask(wire::MessageType::hello, wire::Hello{wire::protocol_version, 0});
        fuzz::promise(replies.size() == 1 && replies[0].type == wire::MessageType::hello_reply);
        restart();
    }

  private:
    using Slot = std::array<std::uint8_t, wire::record_size>;
    struct Stored {
        std::uint32_t tail, next;
        std::vector<Slot> slots; ///< from tail to before next
        flashlog::Recording recording;
    };

    void step() {
        std::optional<Stored> before;
        try {
            const std::uint8_t what = input_.byte();
            if (what >= 0xF0) { // the power fails somewhere in this step
                before = stored();
                board_.flash.cut_after(1U + input_.byte() + 256U * (input_.byte() % 4U));
            }
            act(what % 16);
            board_.flash.cut_after(0);
        } catch (const PowerCut&) {
            life_.reset();
            start();
            check_kept(*before);
        }
        life_->heard();
    }

    void act(std::uint8_t what) {
        switch (what) {
        case 0:
        case 1:
        case 2:
        case 3:
        case 4:
            return request();
        case 5: {
            const auto bytes = input_.bytes(input_.byte() % longest_raw);
            return receive({bytes.begin(), bytes.end()});
        }
        case 6:
        case 7:
        case 8:
            return life_->pass(input_.byte() % longest_wait_s);
        case 9:
            return life_->plug_in(!board_.host);
        case 10:
            return restart();
        case 11:
            board_.clock.unix_s += static_cast<std::uint32_t>(input_.byte() << input_.byte() % 24);
            return;
        case 12:
            board_.sensors.battery = static_cast<std::uint16_t>(8300 + input_.byte() * 4);
            return;
        default:
            return chips(input_.byte());
        }
    }

    /// A whole frame: mostly of a type that is known, with the length that belongs to it.
    void request() {
        const auto type = static_cast<std::uint8_t>(1 + input_.byte() % 16);
        const std::uint8_t known = wire::payload_length(type);
        const auto length = static_cast<std::uint8_t>(known != 0 ? known : 1 + input_.byte() % 32);
        std::vector<std::uint8_t> frame(wire::max_frame);
        const auto given = input_.bytes(length);
        std::ranges::copy(given, wire::frame_payload(frame.data()));
        frame.resize(wire::finish_frame(frame.data(), static_cast<wire::MessageType>(type),
                                        input_.byte(), length));
        receive(frame);
    }

    void receive(const std::vector<std::uint8_t>& bytes) {
        if (board_.host) life_->receive(bytes); // else the isolator is dead
    }

    void chips(std::uint8_t bits) {
        board_.clock.answers = (bits & 0x01U) == 0;
        board_.clock.runs = (bits & 0x02U) == 0;
        board_.clock.mute = (bits & 0x04U) != 0;
        board_.clock.lost_power = (bits & 0x08U) != 0;
        board_.converter.answers = (bits & 0x10U) == 0;
        board_.converter.silent = (bits & 0x20U) != 0;
        board_.clock.garbled_reads = bits >> 6U;
    }

    /// What of the board does not outlive a restart is as it is then.
    void start() {
        board_.line = {};
        board_.sampler = {};
        board_.converter.started.clear();
        board_.watchdog_s = 8;
        life_.emplace(board_);
    }

    void restart() {
        const Stored before = stored();
        board_.flash.cut_after(0);
        life_.reset();
        start();
        check_kept(before);
        auto& log = life_->logger().log();
        const bool ring = before.recording.policy == wire::FullPolicy::overwrite_oldest;
        if (!ring) fuzz::promise(log.tail_sequence() == before.tail);
        fuzz::promise(log.recording().on == before.recording.on || log.full());
        fuzz::promise(log.recording().interval_s == before.recording.interval_s);
        fuzz::promise(log.recording().policy == before.recording.policy);
    }

    Stored stored() {
        auto& log = life_->logger().log();
        Stored now{log.tail_sequence(), log.next_sequence(), {}, log.recording()};
        for (std::uint32_t s = now.tail; s != now.next; ++s)
            std::copy_n(board_.flash.slot(s), wire::record_size, now.slots.emplace_back().begin());
        return now;
    }

    /// All that counts now and stood there before is what it was.
    void check_kept(const Stored& before) {
        auto& log = life_->logger().log();
        fuzz::promise(log.next_sequence() - log.tail_sequence() <=
                      sectors * std::uint32_t{wire::slots_per_sector});
        fuzz::promise(!wire::sequence_before(log.next_sequence(), before.next));
        for (std::uint32_t i = 0; i < before.slots.size(); ++i) {
            const std::uint32_t sequence = before.tail + i;
            if (wire::sequence_before(sequence, log.tail_sequence())) continue;
            fuzz::promise(std::equal(before.slots[i].begin(), before.slots[i].end(),
                                     board_.flash.slot(sequence)));
        }
    }

    fuzz::Input& input_;
    FakeBoard board_{sectors};
    std::optional<Life> life_;
};

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    fuzz::Input input(bytes, count);
    Deployment(input).run();
    return 0;
}
