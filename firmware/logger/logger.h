// The whole logger: one step after every wake-up, and how deep it may sleep until the next.
//
// Board beyond what Recorder asks: member line (type Line: Conversation's, void enable(bool), and
// bool idle() when all is sent),
// member led (void blink(uint16_t ms), bool lit()), bool clock_alarm() (the pin is low),
// void watchdog_every(uint8_t seconds).
#pragma once

#include "logger/conversation.h"
#include "logger/indicator.h"
#include "logger/recorder.h"

namespace quaycell {
namespace logger {

/// What happened since the last step.
struct Wake {
    uint8_t watchdog_s;   ///< seconds that the watchdog counted
    bool converter_moved; ///< the converter's ready pin changed
};

enum class Sleep : uint8_t {
    none,       ///< step again at once
    idle,       ///< the line, the timers and all pins wake it
    power_down, ///< only pins and the watchdog wake it
};

template <typename Board>
class Logger {
  public:
    explicit constexpr Logger(Board& board)
        : board_(board), recorder_(board), conversation_(board.line, *this) {}

    void begin(uint8_t reset_cause) { recorder_.begin(reset_cause); }

    Sleep step(const Wake& wake) {
        const bool alarm = board_.clock_alarm();
        if (wake.watchdog_s != 0 || alarm) {
            recorder_.time().update(wake.watchdog_s);
            recorder_.time().see_alarm(alarm);
        }
        attend_host();
        if (wake.watchdog_s != 0) {
            conversation_.second();
            if (host_ || recorder_.flash_away()) recorder_.look_at_flash();
        }
        recorder_.measure(wake.converter_moved);
        bool waiting = recorder_.write([this](const wire::Reading& reading, bool recorded) {
            // One that was begun for a host who has gone since is nobody's: the line is off.
            if (host_) conversation_.offer(reading, recorded, recorder_.measurement().checks());
        });
        recorder_.measure(false); // what waited for a finished reading to be written
        if (conversation_.step()) waiting = true;
        recorder_.log().ready(); // carries an erase in the background forward
        show(wake.watchdog_s);
        const bool early = !plan();
        board_.watchdog_every(recorder_.time().works() && !conversation_.fast() ? 8 : 1);
        if (waiting || early) return Sleep::none;
        if (host_ || !board_.line.idle() || board_.led.lit() || recorder_.measurement().sampling())
            return Sleep::idle;
        board_.flash.rest();
        return Sleep::power_down;
    }

    // What the conversation asks for.

    wire::HelloReply hello() {
        constexpr Profile profile = Board::profile();
        recorder_.look_at_chips();
        wire::HelloReply reply = {};
        reply.protocol = wire::protocol_version;
        reply.layout = wire::record_layout;
        reply.firmware_version = profile.firmware_version;
        reply.firmware_build = profile.firmware_build;
        reply.device_id = recorder_.device_id();
        reply.boot = recorder_.boot();
        reply.sector_count = board_.flash.sector_count();
        memcpy(reply.jedec_id, board_.flash.jedec_id(), sizeof reply.jedec_id);
        reply.faults = recorder_.faults();
        return reply;
    }

    wire::StatusReply status() {
        recorder_.look_at_chips();
        wire::StatusReply reply = {};
        reply.ticks_s = recorder_.time().ticks_s();
        reply.unix_s = recorder_.time().unix_s();
        reply.next_sequence = recorder_.log().next_sequence();
        reply.tail_sequence = recorder_.log().tail_sequence();
        reply.free_slots = recorder_.log().free_slots();
        reply.interval_s = recorder_.log().recording().interval_s;
        reply.policy = static_cast<uint8_t>(recorder_.log().recording().policy);
        reply.battery = recorder_.measurement().read_battery();
        reply.boot = recorder_.boot();
        reply.state = static_cast<uint8_t>(recorder_.state());
        reply.time_flags = static_cast<uint8_t>(
            recorder_.time().flags() | (board_.host_present() ? wire::host_was_present : 0));
        reply.faults = recorder_.faults();
        reply.source_a = recorder_.measurement().leads().a();
        reply.source_b = recorder_.measurement().leads().b();
        return reply;
    }

    wire::Circuit circuit() const {
        static constexpr Profile profile = Board::profile();
        return profile.circuit;
    }

    wire::Calibration calibration() { return recorder_.calibration(); }
    bool set_calibration(wire::Calibration& calibration) {
        return recorder_.set_calibration(calibration);
    }
    bool recording() { return recorder_.log().recording().on; }
    bool is_clock_time(uint32_t unix_s) const { return board_.clock.shows(unix_s); }
    bool log_ready() { return recorder_.log_ready(); }
    bool log_ready_to_arm() { return recorder_.log_ready_to_arm(); }
    bool arm(const wire::ArmRequest& request) { return recorder_.arm(request); }
    bool stop() { return recorder_.stop(); }
    bool forget() { return recorder_.forget(); }
    void set_clock(uint32_t unix_s) { recorder_.set_clock(unix_s); }
    void watch(bool on) { recorder_.watch(on); }
    typename Recorder<Board>::Log& log() { return recorder_.log(); }

  private:
    void attend_host() {
        const bool host = board_.host_present();
        if (host == host_) return;
        host_ = host;
        board_.line.enable(host);
        conversation_.reset();
    }

    /// Sets the alarm for what comes next; false when that has come already.
    bool plan() {
        uint32_t next = recorder_.schedule().next();
        const bool gone_off = board_.clock_alarm();
        if (next == Schedule::never) {
            if (!gone_off) return true;
            next = recorder_.time().ticks_s() + half_a_day_s; // only to have the pin released
        }
        if (recorder_.time().alarm_at(next, gone_off)) return true;
        recorder_.time().update(0);
        return recorder_.time().ticks_s() < next;
    }

    void show(uint8_t watchdog_s) {
        if (watchdog_s == 0) return;
        const wire::LoggerState state = recorder_.state();
        constexpr uint8_t broken = wire::fault_converter | wire::fault_clock | wire::fault_flash;
        const bool trouble =
            (recorder_.faults() & broken) != 0 || state == wire::LoggerState::full ||
            (state == wire::LoggerState::armed && recorder_.measurement().battery_low());
        const uint8_t blink_ms =
            indicator_.blink(watchdog_s, trouble, state == wire::LoggerState::armed);
        if (blink_ms != 0) board_.led.blink(blink_ms);
    }

    static constexpr uint32_t half_a_day_s = 43200;

    Board& board_;
    Recorder<Board> recorder_;
    Conversation<typename Board::Line, Logger> conversation_;
    Indicator indicator_;
    bool host_ = false;
};

} // namespace logger
} // namespace quaycell
