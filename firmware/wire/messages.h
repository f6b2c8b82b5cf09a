// The messages between host and logger. PROTOCOL.md tells the conversation; this header is the law.
// Every message has one exact length, which closes the hole that COBS leaves in the CRC's
// guarantee.
#pragma once

#include "wire/calibration.h"
#include "wire/record.h"

namespace quaycell {
namespace wire {

constexpr uint8_t protocol_version = 3; ///< raised when any message but Hello changes
constexpr uint32_t baud_rate = 115200;  ///< where every conversation begins

/// A speed of the line is how often its baud rate is double that: 0 to 3, 115200 to 921600 Bd.
constexpr uint8_t fastest_speed = 3;
constexpr uint32_t baud_of(uint8_t speed) {
    return baud_rate << speed;
}

enum class MessageType : uint8_t {
    hello = 0x01,
    status = 0x02,
    set_clock = 0x03,
    arm = 0x04,
    stop = 0x05,
    read = 0x06,
    live = 0x07,
    circuit = 0x08,
    calibration = 0x09,
    forget = 0x0A,
    set_speed = 0x0B,
    set_calibration = 0x0C,
    hello_reply = 0x81,
    status_reply = 0x82, ///< answers status, set_clock, arm, stop, live and forget
    circuit_reply = 0x88,
    calibration_reply = 0x89, ///< answers calibration and set_calibration
    speed_reply = 0x8B,
    slot = 0x90,
    slot_block = 0x91,
    read_end = 0x92,
    live_reading = 0x93,
    refusal = 0xFF,
};

/// HelloReply::faults, StatusReply::faults and Boot::faults
constexpr uint8_t fault_converter = 0x01;
constexpr uint8_t fault_clock = 0x02;
constexpr uint8_t fault_flash = 0x04;
constexpr uint8_t fault_identity = 0x08; ///< no device number stored yet
constexpr uint8_t fault_calibration = 0x10;

/// Hello and HelloReply never change, whatever the protocol version: they are how two versions that
/// do not understand each other find that out.
struct Hello {
    uint8_t protocol; ///< the host's
    uint8_t reserved;
};

struct HelloReply {
    uint8_t protocol;          ///< the logger's
    uint8_t layout;            ///< record_layout
    uint16_t firmware_version; ///< major * 256 + minor
    uint32_t firmware_build;   ///< the first 32 bits of the source's commit, 0 when unknown
    uint32_t device_id;
    uint16_t boot;
    uint16_t sector_count; ///< of 4096 bytes; 0 when the flash does not answer
    uint8_t jedec_id[3];
    uint8_t faults;
};

struct StatusRequest {
    uint16_t reserved;
};

enum class LoggerState : uint8_t { idle = 0, armed = 1, full = 2 };

struct StatusReply {
    uint32_t ticks_s;
    uint32_t unix_s;        ///< the clock chip's time, 0 when it has none
    uint32_t next_sequence; ///< the slot that the next record will take
    uint32_t tail_sequence; ///< the oldest that still counts
    uint32_t free_slots;    ///< until the memory is full (ring: until the oldest is overwritten)
    uint16_t interval_s;
    uint16_t battery; ///< as in Reading
    uint16_t boot;
    uint8_t state;  ///< LoggerState
    uint8_t policy; ///< FullPolicy
    uint8_t time_flags;
    uint8_t faults;
    uint8_t source_a; ///< the last stimulus response, as in Reading
    uint8_t source_b;
};

struct SetClock {
    uint32_t unix_s;
};

constexpr uint16_t shortest_interval_s = 1;
constexpr uint16_t longest_interval_s = 3600;

/// Starts a deployment: a new sector, and everything before it no longer counts. The host sees to
/// it that what stood there has been collected.
struct ArmRequest {
    uint16_t interval_s; ///< shortest_interval_s to longest_interval_s
    uint8_t policy;      ///< FullPolicy
    uint8_t reserved;
};

struct StopRequest {
    uint16_t reserved;
};

/// Everything before this number no longer counts and recording ends. It has to be the number that
/// the next record would take: whoever orders it has seen all that there is.
struct ForgetRequest {
    uint32_t before_sequence;
};

/// Slots by sequence number, verbatim, whatever they hold. Asking again is always safe.
struct Read {
    uint32_t first_sequence;
    uint32_t count;
};

struct LiveRequest {
    uint8_t on; ///< 1: a LiveReading about every second until 0 or the cable is pulled
    uint8_t reserved;
};

struct CircuitRequest {
    uint16_t reserved;
};

struct CalibrationRequest {
    uint16_t reserved;
};

/// Takes the place of the calibration so far; not while recording. `turn` is the logger's to fill
/// in. The reply is what the logger holds from now on.
struct SetCalibration {
    Calibration calibration;
};

/// Another speed for the download that follows. The reply comes at the speed of before; from then
/// on both sides keep to the new one.
struct SetSpeed {
    uint8_t speed; ///< 0 to fastest_speed
    uint8_t reserved;
};

struct SpeedReply {
    uint8_t speed; ///< that holds from the end of this reply
    uint8_t reserved;
};

/// How to read the raw codes of this logger's records.
struct Circuit {
    uint32_t converter_lsb_nv; ///< volts per code of the cell converter, [nV]
    uint32_t reference_uv;     ///< nominal voltage of COM above ground, [uV]
    uint32_t thermistor_pullup_ohm;
    uint32_t thermistor_25c_ohm;
    uint32_t thermistor_e12_per_k[4]; ///< 1/T = sum of c_n * ln(R / R25)^n, [1e-12 / K]
    uint32_t ac_nv_per_code;          ///< rms at the cell, of a source without resistance
    uint32_t ac_load_ohm;             ///< what the source's resistance divides against
    uint32_t stimulus_half_ohm; ///< source and hull lead at which the response is half of open
    uint32_t hull_lead_ohm;     ///< in series with the source
    uint16_t
        battery_full_scale_mv; ///< battery voltage at which `battery` would read `sum_full_scale`
    uint16_t sum_full_scale;   ///< 16 * 1024
    uint16_t low_battery_mv;
    uint16_t ac_floor_uv;          ///< what is read without AC; to be taken off in quadrature
    uint16_t source_uv_per_code;   ///< peak of the response at the microcontroller's converter
    uint16_t stimulus_open_mv;     ///< with nothing connected
    uint16_t stimulus_drying_mv;   ///< from here on the source resistance is high
    uint16_t stimulus_not_good_mv; ///< from here on: open, dry or the hull's clip off
};

/// The most slots that fit a frame: 4 + 7 * 32 of at most 248 bytes of payload.
constexpr uint8_t slots_per_block = 7;

struct Slot {
    uint32_t first_sequence;
    uint8_t bytes[record_size];
};

struct SlotBlock {
    uint32_t first_sequence;
    uint8_t bytes[slots_per_block * record_size];
};

struct ReadEnd {
    uint32_t
        next_sequence; ///< the first not sent: first + count, or the log's end if that came first
    uint32_t reserved;
};

struct LiveReading {
    Reading reading;   ///< head.sequence is a count of its own unless the reading was also recorded
    int16_t zero;      ///< code of AIN2-AIN3 since the last live reading, or missing_code
    int16_t reference; ///< code of AIN3-GND, likewise
    uint8_t recorded;  ///< 1: it is in flash under head.sequence
    uint8_t reserved[3];
};

enum class RefusalReason : uint8_t {
    unknown_request = 1,
    bad_argument = 2,
    flash_fault = 3,
    not_that_old = 4, ///< slots asked for are not in the log
    recording = 5,    ///< not while recording
    eeprom_fault = 6, ///< what was written does not read back
};

struct Refusal {
    uint8_t request; ///< MessageType refused
    uint8_t reason;  ///< RefusalReason
};

static_assert(sizeof(HelloReply) == 20, "hello is frozen");
static_assert(sizeof(StatusReply) == 32, "status");
static_assert(sizeof(Circuit) == 64, "circuit");
static_assert(sizeof(SlotBlock) == 228, "block of slots");
static_assert(sizeof(LiveReading) == 40, "live reading");

/// The exact payload length of a type; 0 for a type that does not exist (no message is empty).
inline uint8_t payload_length(uint8_t type) {
    switch (static_cast<MessageType>(type)) {
    case MessageType::hello:
        return sizeof(Hello);
    case MessageType::status:
        return sizeof(StatusRequest);
    case MessageType::set_clock:
        return sizeof(SetClock);
    case MessageType::arm:
        return sizeof(ArmRequest);
    case MessageType::stop:
        return sizeof(StopRequest);
    case MessageType::read:
        return sizeof(Read);
    case MessageType::live:
        return sizeof(LiveRequest);
    case MessageType::circuit:
        return sizeof(CircuitRequest);
    case MessageType::calibration:
        return sizeof(CalibrationRequest);
    case MessageType::forget:
        return sizeof(ForgetRequest);
    case MessageType::set_speed:
        return sizeof(SetSpeed);
    case MessageType::set_calibration:
        return sizeof(SetCalibration);
    case MessageType::hello_reply:
        return sizeof(HelloReply);
    case MessageType::status_reply:
        return sizeof(StatusReply);
    case MessageType::circuit_reply:
        return sizeof(Circuit);
    case MessageType::calibration_reply:
        return sizeof(Calibration);
    case MessageType::speed_reply:
        return sizeof(SpeedReply);
    case MessageType::slot:
        return sizeof(Slot);
    case MessageType::slot_block:
        return sizeof(SlotBlock);
    case MessageType::read_end:
        return sizeof(ReadEnd);
    case MessageType::live_reading:
        return sizeof(LiveReading);
    case MessageType::refusal:
        return sizeof(Refusal);
    }
    return 0;
}

} // namespace wire
} // namespace quaycell
