// A board in memory for the logger's logic: chips that do as they are told, and a second hand that
// the test moves.
#pragma once

#include "logger/logger.h"
#include "memory_flash.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <deque>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace quaycell::test {

struct FakeClock {
    uint32_t unix_s = 1'780'000'000;
    bool lost_power = false;
    bool answers = true;
    std::optional<uint32_t> alarm{}; ///< [unix seconds]
    bool alarm_low = false;

    void tick() {
        ++unix_s;
        if (alarm && *alarm % 86400 == unix_s % 86400) alarm_low = true;
    }

    bool begin() { return answers; }
    static bool shows(uint32_t s) { return s >= 946684800 && s < 4102444800; }
    bool read_time(uint32_t& s) {
        s = unix_s;
        return answers;
    }
    bool read_health(bool& lost, int16_t& board) {
        lost = lost_power;
        board = 80;
        return answers;
    }
    bool set_time(uint32_t s) {
        if (!answers) return false;
        unix_s = s;
        lost_power = false;
        return true;
    }
    bool set_alarm(uint32_t s) {
        if (!answers) return false;
        alarm = s;
        alarm_low = false;
        return true;
    }
};

struct FakeConverter {
    bool answers = true;
    bool silent = false; ///< starts conversions and never ends them
    std::map<logger::Input, int16_t> codes{{logger::Input::cell_a, 14400},
                                           {logger::Input::zero, 2},
                                           {logger::Input::reference, 16386}};
    std::optional<logger::Input> running{};
    std::vector<logger::Input> started{};
    bool finished = false;

    bool begin() { return answers; }
    bool start(logger::Input input) {
        if (!answers) return false;
        running = input;
        finished = false;
        started.push_back(input);
        return true;
    }
    /// The conversion time passes; true when the ready pin moves.
    bool finish() {
        if (!running || silent || finished) return false;
        finished = true;
        return true;
    }
    logger::Conversion result(int16_t& code) {
        if (!answers) return logger::Conversion::failed;
        if (!finished) return logger::Conversion::running;
        code = codes.at(running.value());
        running.reset();
        return logger::Conversion::done;
    }
};

struct FakeSensors {
    uint16_t water = 8192;
    uint16_t battery = 11000;
    void read(uint16_t& w, uint16_t& b) const {
        w = water;
        b = battery;
    }
};

class FakeEeprom {
  public:
    FakeEeprom() { bytes.fill(0xFF); }
    uint8_t read(uint16_t address) const { return bytes.at(address); }
    void write(uint16_t address, uint8_t value) {
        if (writes_left == 0) throw PowerCut{};
        --writes_left;
        bytes.at(address) = value;
    }
    std::array<uint8_t, 1024> bytes{};
    uint32_t writes_left = UINT32_MAX; ///< then the power fails
};

class FakeLine {
  public:
    void enable(bool on) {
        enabled = on;
        received.clear();
    }
    bool take(uint8_t& byte) {
        if (!enabled || received.empty()) return false;
        byte = received.front();
        received.pop_front();
        return true;
    }
    bool idle() const { return pending == 0; }
    uint8_t* frame() { return frame_bytes; }
    void send(uint16_t count) { pending = count; }

    /// The line carries away what was sent.
    std::vector<uint8_t> carry() {
        std::vector<uint8_t> out(frame_bytes, frame_bytes + pending);
        pending = 0;
        return out;
    }

    bool enabled = false;
    std::deque<uint8_t> received{};
    uint8_t frame_bytes[wire::max_frame] = {};
    uint16_t pending = 0;
};

struct FakeLamp {
    std::vector<uint16_t> blinks{};
    void blink(uint16_t ms) { blinks.push_back(ms); }
    static bool lit() { return false; }
};

struct FakeBoard {
    using Clock = FakeClock;
    using Converter = FakeConverter;
    using Flash = MemoryFlash;
    using Sensors = FakeSensors;
    using Eeprom = FakeEeprom;
    using Line = FakeLine;

    static constexpr logger::Profile profile() {
        return {{62500, 1024000, 10000, 10000, 3950, 6600, 16384, 3400},
                5,
                0,
                16,
                64,
                0x0203,
                0xABCDEF01};
    }

    explicit FakeBoard(uint16_t sectors = 16) : flash(sectors) {}
    bool host_present() const { return host; }
    bool clock_alarm() const { return clock.alarm_low; }
    void watchdog_every(uint8_t seconds) { watchdog_s = seconds; }

    FakeClock clock{};
    FakeConverter converter{};
    MemoryFlash flash;
    FakeSensors sensors{};
    FakeEeprom eeprom{};
    FakeLine line{};
    FakeLamp led{};
    bool host = false;
    uint8_t watchdog_s = 8;
};

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
            wake.converter_moved = converted;
            if (sleep_ == logger::Sleep::none) {
                if (board_.flash.stuck && steps > 10) return;
                continue;
            }
            if (!converted && !spoke_ && board_.line.received.empty()) return;
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

} // namespace quaycell::test
