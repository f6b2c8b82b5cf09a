// What the logger does whether or not anyone watches: keep time, take the readings that are due,
// write them down, and follow the orders to arm, stop and set the clock.
//
// Board: what the logger runs on. static constexpr Profile profile(), the members clock, flash,
// converter, sampler, sensors, eeprom (types Clock, Flash, Converter, Sampler, Sensors, Eeprom,
// described where they are used), and bool host_present().
#pragma once

#include "flashlog/flash_log.h"
#include "logger/battery_guard.h"
#include "logger/calibration_store.h"
#include "logger/device_time.h"
#include "logger/identity.h"
#include "logger/measurement.h"

namespace quaycell {
namespace logger {

template <typename Board>
class Recorder {
  public:
    using Time = DeviceTime<typename Board::Clock>;
    using Log = flashlog::FlashLog<typename Board::Flash>;

    explicit constexpr Recorder(Board& board)
        : board_(board), time_(board.clock), log_(board.flash),
          measurement_(board.converter, board.sampler, board.sensors, time_, profile) {}

    /// reset_cause: wire::ResetCause bits.
    void begin(uint8_t reset_cause) {
        reset_cause_ = reset_cause;
        boot_ = count_boot(board_.eeprom, profile.eeprom_boot_count);
        device_id_ = read_eeprom<uint32_t>(board_.eeprom, profile.eeprom_device_id);
        time_.begin();
        measurement_.begin(calibrations().holds_one());
        boot_pending_ = true;
        go_on();
    }

    Time& time() { return time_; }
    Log& log() { return log_; }
    const Schedule& schedule() const { return schedule_; }
    using Measuring = Measurement<typename Board::Converter, typename Board::Sampler,
                                  typename Board::Sensors, Time>;
    Measuring& measurement() { return measurement_; }

    /// Moves the measurements on. hint: the converter's ready pin moved.
    void measure(bool hint) { measurement_.advance(schedule_, hint); }

    /// Writes what has to be written; true while it waits for the flash. `show(reading, recorded)`
    /// is called with each reading that is live.
    template <typename Show>
    bool write(Show show) {
        while (write_pending()) {
            if (!log_ready()) return true;
            write_next(show);
        }
        return false;
    }

    /// One that has gone is noticed by the record that it does not take.
    bool flash_away() const { return flash_failed_ || board_.flash.sector_count() == 0; }

    /// To be called now and then while it is away, or a host reads: goes on with what a flash holds
    /// that is back.
    void look_at_flash() {
        const uint16_t known = board_.flash.sector_count();
        board_.flash.identify();
        if (board_.flash.sector_count() == known) return;
        stop_recording();
        exhausted_ = flash_failed_ = waiting_ = false;
        // A Boot record that found no flash is still to be written.
        if (!boot_written_) {
            boot_pending_ = true;
            late_fault_ = wire::fault_flash;
        }
        go_on();
    }

    /// Whether the log can be written to. Says yes, too, when it has kept us waiting so long that
    /// it must be broken; then the write fails.
    bool log_ready() { return settled(log_.ready()); }
    bool log_ready_to_arm() { return settled(log_.ready_to_arm()); }

    /// After log_ready_to_arm(). False when the flash does not take it; then nothing is recorded.
    bool arm(const wire::ArmRequest& request) {
        time_.update(0);
        stop_recording();
        wire::Arm record = {};
        record.head = stamp(wire::RecordKind::arm);
        record.unix_s = time_.unix_s();
        record.interval_s = request.interval_s;
        record.policy = request.policy;
        flash_failed_ = !log_.arm(record);
        battery_guard_.begin();
        exhausted_ = false;
        if (!flash_failed_) measurement_.open();
        return !flash_failed_;
    }

    /// After log_ready(). False when it could not be written down; recording has ended all the
    /// same.
    bool stop(wire::StopReason reason = wire::StopReason::asked) {
        exhausted_ = false;
        time_.update(0);
        stop_recording();
        if (!log_.recording().on) return true;
        wire::Stop record = {};
        record.head = stamp(wire::RecordKind::stop);
        record.unix_s = time_.unix_s();
        record.reason = static_cast<uint8_t>(reason);
        flash_failed_ = !log_.stop(record) && !log_.full();
        return !flash_failed_;
    }

    /// After log_ready_to_arm(). False when the flash does not take it; recording has ended all the
    /// same.
    bool forget() {
        time_.update(0);
        stop_recording();
        wire::Stop record = {};
        record.head = stamp(wire::RecordKind::stop);
        record.unix_s = time_.unix_s();
        record.reason = static_cast<uint8_t>(wire::StopReason::forgotten);
        flash_failed_ = !log_.forget(record);
        return !flash_failed_;
    }

    /// After log_ready(). What became of it shows in the status.
    void set_clock(uint32_t unix_s) {
        time_.update(0);
        wire::ClockSet record = {};
        record.head = stamp(wire::RecordKind::clock_set);
        record.before_unix_s = time_.unix_s();
        record.after_unix_s = unix_s;
        if (time_.set(unix_s)) append(record);
    }

    /// Live readings every second.
    void watch(bool on) {
        schedule_.watch(on, time_.ticks_s());
        if (on) measurement_.look_at_leads();
    }

    wire::LoggerState state() {
        const flashlog::Recording recording = log_.recording();
        if (recording.on && !recording.paused) return wire::LoggerState::armed;
        return log_.full() ? wire::LoggerState::full : wire::LoggerState::idle;
    }

    uint16_t boot() const { return boot_; }
    uint32_t device_id() const { return device_id_; }

    /// For somebody who asks for the faults: a chip that came back shall not be told as missing.
    void look_at_chips() {
        time_.update(0);
        measurement_.look_at_converter();
        look_at_flash();
    }

    /// The bits of HelloReply::faults.
    uint8_t faults() {
        uint8_t bits = 0;
        if (!measurement_.converter_works()) bits |= wire::fault_converter;
        if (!time_.works()) bits |= wire::fault_clock;
        if (flash_failed_ || board_.flash.sector_count() == 0) bits |= wire::fault_flash;
        if (device_id_ == no_device_id) bits |= wire::fault_identity;
        if (!measurement_.calibrated()) bits |= wire::fault_calibration;
        return bits;
    }

    wire::Calibration calibration() { return calibrations().read(); }

    /// Not while recording. False when it does not read back; the one before still counts then.
    bool set_calibration(wire::Calibration& calibration) {
        const bool written = calibrations().write(calibration);
        measurement_.calibrated(calibrations().holds_one());
        return written;
    }

  private:
    static constexpr Profile profile = Board::profile();
    static constexpr uint8_t flash_patience_s = 2; ///< for a sector; an erase takes 0.4 s at most

    CalibrationStore<typename Board::Eeprom> calibrations() {
        return {board_.eeprom, profile.eeprom_calibration};
    }

    /// With what the log says that the logger is doing.
    void go_on() {
        log_.mount(device_id_);
        // What was read of a flash that has gone meanwhile is no log.
        if (!board_.flash.identify()) log_.mount(device_id_);
        const uint16_t battery = measurement_.read_battery();
        if (!log_.recording().on) return;
        if (battery_guard_.may_go_on(battery)) {
            log_.go_on();
            measurement_.open();
        } else if (log_.recording().paused) {
            boot_pending_ = false; // that the cells are low has been written already
        } else {
            exhausted_ = true;
        }
    }

    wire::RecordHead stamp(wire::RecordKind kind) {
        wire::RecordHead head = {};
        head.kind = static_cast<uint8_t>(kind);
        head.time_flags = static_cast<uint8_t>(
            time_.flags() | (board_.host_present() ? wire::host_was_present : 0));
        head.boot = boot_;
        head.ticks_s = time_.ticks_s();
        return head;
    }

    bool settled(bool ready) {
        if (ready) {
            waiting_ = false;
            return true;
        }
        time_.update(0); // else ticks stand still until the alarm or the watchdog
        if (!waiting_ || log_.skipped() != skipped_) waiting_since_ = time_.ticks_s();
        waiting_ = true;
        skipped_ = log_.skipped();
        return time_.ticks_s() - waiting_since_ > flash_patience_s;
    }

    bool write_pending() {
        return boot_pending_ || time_.changed() || measurement_.checks().record_due() ||
               measurement_.done() || exhausted_;
    }

    /// In the order in which they must stand in the log.
    template <typename Show>
    void write_next(Show show) {
        if (boot_pending_) {
            write_boot();
        } else if (time_.changed()) {
            write_clock_change();
        } else if (measurement_.checks().record_due()) {
            write_check();
        } else if (measurement_.done()) {
            finish_reading(show);
        } else {
            stop(wire::StopReason::battery_low);
        }
    }

    void write_boot() {
        boot_pending_ = false;
        wire::Boot record = {};
        record.head = stamp(wire::RecordKind::boot);
        record.unix_s = time_.unix_s();
        record.reset_cause = reset_cause_;
        record.faults = static_cast<uint8_t>(faults() | late_fault_);
        record.firmware_version = profile.firmware_version;
        record.firmware_build = profile.firmware_build;
        boot_written_ = append(record);
    }

    void write_clock_change() {
        const ClockChange& change = time_.take_change();
        wire::ClockSet record = {};
        record.head = stamp(wire::RecordKind::clock_set);
        record.before_unix_s = change.before_unix_s;
        record.after_unix_s = change.after_unix_s;
        record.by = static_cast<uint8_t>(change.by);
        if (record.after_unix_s != 0) append(record);
    }

    void write_check() {
        const bool opening = measurement_.checks().opening();
        time_.update(0); // the first reading is planned by it
        wire::Check record = {};
        record.head = stamp(wire::RecordKind::check);
        record.unix_s = time_.unix_s();
        measurement_.checks().take(record);
        if (record.count != 0) append(record);
        if (opening && log_.recording().on)
            schedule_.record_every(log_.recording().interval_s, time_.ticks_s());
    }

    template <typename Show>
    void finish_reading(Show show) {
        const bool live = measurement_.live();
        bool recorded = measurement_.recorded();
        wire::Reading& reading = measurement_.take();
        const uint32_t begun_tick_s = reading.head.ticks_s;
        reading.head = stamp(wire::RecordKind::reading);
        reading.head.ticks_s = begun_tick_s;
        if (recorded) {
            recorded = append(reading);
            if (battery_guard_.exhausted(reading.battery, begun_tick_s))
                exhausted_ = log_.recording().on;
        }
        if (!recorded) {
            reading.head.sequence = live_count_;
            wire::seal(reading);
        }
        if (!live) return;
        if (!recorded) ++live_count_;
        show(reading, recorded);
    }

    template <typename Record>
    bool append(Record& record) {
        const bool written = log_.append(record, time_.unix_s());
        flash_failed_ = !written && !log_.full();
        if (!log_.recording().on) stop_recording();
        if (flash_failed_) look_at_flash();
        return written;
    }

    void stop_recording() {
        schedule_.stop_recording();
        measurement_.stop_recording();
    }

    Board& board_;
    Time time_;
    Log log_;
    Schedule schedule_;
    Measuring measurement_;
    BatteryGuard battery_guard_{Board::profile().circuit};
    uint32_t device_id_ = no_device_id;
    uint32_t live_count_ = 0;
    uint32_t waiting_since_ = 0;
    uint16_t boot_ = 0;
    uint8_t reset_cause_ = 0;
    uint8_t late_fault_ = 0; ///< a Boot record came so late because of it
    uint8_t skipped_ = 0;    ///< of the log, when it was last waited for
    bool waiting_ = false;
    bool flash_failed_ = false;
    bool boot_pending_ = false;
    bool boot_written_ = false;
    bool exhausted_ = false; ///< the battery: a Stop record has to be written
};

} // namespace logger
} // namespace quaycell
