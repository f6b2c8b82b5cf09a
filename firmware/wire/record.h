// The record: 32 bytes that mean the same in flash, on the line, in the archive and on the page.
// FORMAT.md in flashlog/ draws the bits; this header is the law.
//
// A record's sequence number is also its address: the upper 25 bits count flash sectors, the lower
// 7 count the 128 slots of a sector. Slot 0 of every sector holds a SectorHeader, itself a record.
// Every slot has a number, so a number that does not come back is a record that was torn or lost.
#pragma once

#include "wire/bytes.h"
#include "wire/crc16.h"

namespace quaycell {
namespace wire {

constexpr uint8_t record_layout = 1; ///< raised when any struct below changes
constexpr uint8_t record_size = 32;
constexpr uint8_t crc_size = 2; ///< at the end of every record
constexpr uint16_t slots_per_sector = 128;
constexpr uint8_t slot_bits = 7;

enum class RecordKind : uint8_t {
    sector_header = 0x51,
    boot = 0x52,
    clock_set = 0x53,
    arm = 0x54,
    stop = 0x55,
    check = 0x56,
    reading = 0x57,
};

/// RecordHead::time_flags
constexpr uint8_t ticks_from_watchdog = 0x01; ///< clock chip dead: ticks are within about 10 %
constexpr uint8_t clock_lost_power = 0x02;    ///< clock chip stopped since it was last set
constexpr uint8_t host_was_present = 0x04;    ///< a computer was connected at this instant
constexpr uint8_t clock_jumped = 0x08;        ///< of itself, since it was last set: ticks went on

struct RecordHead {
    uint8_t kind; ///< RecordKind; 0x00 and 0xFF are never valid
    uint8_t time_flags;
    uint16_t boot;     ///< counts restarts of this logger
    uint32_t sequence; ///< see above
    uint32_t ticks_s;  ///< seconds since that restart, [s]
};

/// A value that the logger did not or could not measure.
constexpr int16_t missing_code = INT16_MIN;
constexpr uint16_t missing_count = UINT16_MAX;
constexpr uint8_t missing_byte = UINT8_MAX;

/// Reading::flags
constexpr uint16_t flag_uncalibrated = 0x0001; ///< no valid calibration in the logger
constexpr uint16_t flag_saturated_a = 0x0002;  ///< cell A beyond the converter's range
constexpr uint16_t flag_saturated_b = 0x0004;
constexpr uint16_t flag_unsettled =
    0x0008; ///< too soon after power-up or after a stimulus for the input filter
constexpr uint16_t flag_converter_fault = 0x0010; ///< converter absent, silent or plainly wrong
constexpr uint16_t flag_low_battery = 0x0020;
// As the last stimulus found them; they stand until the next.
constexpr uint16_t flag_drying_a = 0x0040;   ///< source resistance high
constexpr uint16_t flag_not_good_a = 0x0080; ///< open lead, dry cell or the hull's clip off
constexpr uint16_t flag_drying_b = 0x0100;
constexpr uint16_t flag_not_good_b = 0x0200;   ///< or there is no cell B; it is not measured then
constexpr uint16_t flag_ac_clipped_a = 0x0400; ///< AC beyond its amplifier: at least what is told
constexpr uint16_t flag_ac_clipped_b = 0x0800;

/// One measurement. Raw codes, as they left the converters; wire::Circuit tells how to read them.
struct Reading {
    RecordHead head;
    uint16_t flags;
    int16_t cell_a; ///< converter code of AIN0-AIN3, mean of one to four conversions; the hull's
                    ///< potential is its negative
    int16_t cell_b; ///< the same of AIN1-AIN3
    uint16_t ac_a;  ///< AC rms at cell A, hundredths of a step of the microcontroller's converter
    uint16_t ac_b;
    uint16_t water;   ///< thermistor, sum of 16 readings of the microcontroller's converter
    uint16_t battery; ///< battery divider, sum of 16
    int16_t board;    ///< board temperature, [0.25 degC]
    uint8_t source_a; ///< stimulus response; the highest is 254
    uint8_t source_b;
    uint16_t crc;
};

/// Zero and gain of the converter, summed over `count` conversions of each since the last check;
/// and every hour the time, for a ring that has long overwritten its Arm record.
struct Check {
    RecordHead head;
    int32_t zero_sum;      ///< codes of AIN2-AIN3 (shorted: what the converter calls zero)
    int32_t reference_sum; ///< codes of AIN3-GND (the reference)
    uint8_t count;
    uint8_t reserved[3];
    uint32_t unix_s; ///< the clock chip's time, 0 when it has none
    uint16_t reserved_too;
    uint16_t crc;
};

enum class ResetCause : uint8_t {
    power_on = 0x01,
    external = 0x02,
    brown_out = 0x04,
    watchdog = 0x08
};

/// Written at every restart, armed or not.
struct Boot {
    RecordHead head;
    uint32_t unix_s;     ///< the clock chip's time, 0 when it has none
    uint8_t reset_cause; ///< ResetCause bits, as the microcontroller reports them
    uint8_t faults;      ///< see messages.h
    uint16_t firmware_version;
    uint32_t firmware_build;
    uint8_t reserved[6];
    uint16_t crc;
};

/// By whom the clock chip's time became another.
enum class ClockSetBy : uint8_t {
    host = 0,
    return_of_the_clock = 1, ///< it had not answered, or stood still
    itself = 2,              ///< it jumped: what it shows from now on is not to be trusted
};

struct ClockSet {
    RecordHead head;
    uint32_t before_unix_s; ///< what the clock said just before, 0 when it had no time
    uint32_t after_unix_s;
    uint8_t by; ///< ClockSetBy
    uint8_t reserved[9];
    uint16_t crc;
};

enum class FullPolicy : uint8_t { stop_when_full = 0, overwrite_oldest = 1 };

struct Arm {
    RecordHead head;
    uint32_t unix_s;
    uint16_t interval_s;
    uint8_t policy; ///< FullPolicy
    uint8_t reserved[11];
    uint16_t crc;
};

enum class StopReason : uint8_t { asked = 1, memory_full = 2, battery_low = 3, forgotten = 4 };

struct Stop {
    RecordHead head;
    uint32_t unix_s;
    uint8_t reason; ///< StopReason
    uint8_t reserved[13];
    uint16_t crc;
};

/// SectorHeader::state
constexpr uint8_t state_recording = 0x01;
constexpr uint8_t state_overwrite_oldest = 0x02;

/// SectorHeader::skipped: so many sectors may be passed over; older firmware wrote 0 or 0xFF.
constexpr uint8_t most_skipped = 8;
constexpr uint8_t rest_skipped = 0x80; ///< and the rest of the sector before those

/// Slot 0 of a sector: written after the erase is complete, and a checkpoint from which a restart
/// finds everything else.
struct SectorHeader {
    RecordHead head;
    uint32_t tail_sequence; ///< oldest record that still counts; arming moves it here
    uint32_t erase_count;   ///< of this physical sector
    uint32_t device_id;
    uint16_t interval_s;
    uint8_t layout; ///< record_layout
    uint8_t state;
    uint8_t skipped; ///< sectors just before this one that were worn; see above
    uint8_t skips;   ///< all of them so far, modulo 256
    uint16_t crc;
};

static_assert(sizeof(RecordHead) == 12, "record head");
static_assert(sizeof(Reading) == record_size, "reading");
static_assert(sizeof(Check) == record_size, "check");
static_assert(sizeof(Boot) == record_size, "boot");
static_assert(sizeof(ClockSet) == record_size, "clock set");
static_assert(sizeof(Arm) == record_size, "arm");
static_assert(sizeof(Stop) == record_size, "stop");
static_assert(sizeof(SectorHeader) == record_size, "sector header");
static_assert(offsetof(Reading, crc) == record_size - crc_size, "the CRC comes last");
static_assert(256 % record_size == 0, "no record straddles a flash page");
static_assert((1U << slot_bits) == slots_per_sector, "a slot's number has its bits");

constexpr bool is_sector_start(uint32_t sequence) {
    return sequence % slots_per_sector == 0;
}

/// a before b on the wrapping circle of sequence numbers.
constexpr bool sequence_before(uint32_t a, uint32_t b) {
    return static_cast<int32_t>(a - b) < 0;
}

/// Fills in the checksum over all that stands before it.
template <typename Record>
void seal(Record& record) {
    uint8_t bytes[record_size];
    to_bytes(record, bytes);
    record.crc = crc16(bytes, record_size - crc_size);
}

/// Whether 32 bytes are a whole record: a known kind and the right checksum.
inline bool is_valid_record(const uint8_t* bytes) {
    if (bytes[0] < static_cast<uint8_t>(RecordKind::sector_header) ||
        bytes[0] > static_cast<uint8_t>(RecordKind::reading))
        return false;
    const uint16_t stored =
        static_cast<uint16_t>(bytes[record_size - 2] | (bytes[record_size - 1] << 8));
    return crc16(bytes, record_size - crc_size) == stored;
}

} // namespace wire
} // namespace quaycell
