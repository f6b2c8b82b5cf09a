// A board in memory for the logger's logic: chips that do as they are told, and a second hand that
// the test moves.
#pragma once

#include "board/profile.h"
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
    uint32_t garbled_reads = 0; ///< how many of the next readings come over wrong
    bool runs = true;           ///< its oscillator
    bool mute = false;          ///< its alarm does not come

    void tick() {
        if (!runs) {
            lost_power = true;
            return;
        }
        ++unix_s;
        if (!mute && alarm && *alarm % 86400 == unix_s % 86400) alarm_low = true;
    }

    bool begin() { return answers; }
    static bool shows(uint32_t s) { return s >= 946684800 && s < 4102444800; }
    bool read_time(uint32_t& s) {
        s = unix_s;
        if (garbled_reads != 0) {
            --garbled_reads;
            s += 4096;
        }
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
                                           {logger::Input::cell_b, 14450},
                                           {logger::Input::zero, 2},
                                           {logger::Input::reference, 16386}};
    std::vector<int16_t> in_turn{}; ///< of cell A, before its usual code
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
        if (running == logger::Input::cell_a && !in_turn.empty()) {
            code = in_turn.front();
            in_turn.erase(in_turn.begin());
        }
        running.reset();
        return logger::Conversion::done;
    }
};

/// Takes no time; every burst of a cell finds the same there.
struct FakeSampler {
    struct Taken {
        logger::Cell cell;
        bool stimulus;
    };
    std::map<logger::Cell, logger::Burst> quiet{};
    std::map<logger::Cell, logger::Burst> stimulated{};
    std::vector<Taken> taken{};
    bool busy = false;

    void begin(logger::Cell cell, bool stimulus) {
        taken.push_back({cell, stimulus});
        busy = true;
    }
    bool running() const { return busy; }
    const logger::Burst& burst() {
        return (taken.back().stimulus ? stimulated : quiet)[taken.back().cell];
    }
    /// The samples are through; true when there were any.
    bool finish() { return std::exchange(busy, false); }
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
        speed = 0;
    }
    void set_speed(uint8_t s) { speed = s; }
    bool take(uint8_t& byte) {
        if (!enabled || received.empty()) return false;
        byte = received.front();
        received.pop_front();
        return true;
    }
    bool idle() const { return sent.empty(); }
    bool ready() const { return waiting < 2; } ///< one going out, one behind it
    uint8_t* frame() { return frame_bytes; }
    void send() {
        ++waiting;
        sent.insert(sent.end(), frame_bytes, std::find(frame_bytes, std::end(frame_bytes), 0) + 1);
    }

    /// The line carries away what was sent.
    std::vector<uint8_t> carry() {
        waiting = 0;
        return std::exchange(sent, {});
    }

    bool enabled = false;
    std::deque<uint8_t> received{};
    uint8_t frame_bytes[wire::max_frame] = {};
    std::vector<uint8_t> sent{};
    int waiting = 0;   ///< frames in `sent`
    uint8_t speed = 0; ///< of wire::SetSpeed
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
    using Sampler = FakeSampler;
    using Sensors = FakeSensors;
    using Eeprom = FakeEeprom;
    using Line = FakeLine;

    static constexpr logger::Profile profile() {
        logger::Profile profile = board::profile(0xABCDEF01);
        profile.firmware_version = 0x0203;
        return profile;
    }

    explicit FakeBoard(uint16_t sectors = 16) : flash(sectors) {}
    bool host_present() const { return host; }
    bool clock_alarm() const { return clock.alarm_low; }
    void watchdog_every(uint8_t seconds) { watchdog_s = seconds; }

    FakeClock clock{};
    FakeConverter converter{};
    MemoryFlash flash;
    FakeSampler sampler{};
    FakeSensors sensors{};
    FakeEeprom eeprom{};
    FakeLine line{};
    FakeLamp led{};
    bool host = false;
    uint8_t watchdog_s = 8;
};

} // namespace quaycell::test
