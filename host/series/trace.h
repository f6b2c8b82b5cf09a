// A potential trace: columns of equal length, one row per reading.
#pragma once

#include "base/time.h"
#include "electrode/budget.h"

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// Stands where a field is missing.
constexpr double missing_value = std::numeric_limits<double>::quiet_NaN();

/// What is known against a reading: a set of bits, each with a word.
enum class Quality : std::uint16_t {
    good = 0,
    uncalibrated = 0x0001,     ///< no comparison with a better instrument stands behind it
    saturated = 0x0002,        ///< cell A beyond the converter's range
    cell_b_saturated = 0x0004, ///< the same of cell B
    unsettled = 0x0008,        ///< taken before the input filter had settled
    converter_fault = 0x0010,  ///< the converter was absent or silent
    low_battery = 0x0020,
    clock_doubtful = 0x0040, ///< the time may be wrong by more than a second
    corrected = 0x0080,      ///< a person has said since what was wrong about it, see Correction
    // By the stimulus that the logger sends through cell and lead.
    cell_drying = 0x0100,   ///< the source resistance of cell A is high
    lead_not_good = 0x0200, ///< cell A's lead open, the cell dry or the hull's clip off
    lead_doubtful = 0x0400, ///< good when it was last looked at, not good at the next look
    cell_b_drying = 0x0800,
    cell_b_not_good = 0x1000, ///< cell B's lead open, the cell dry or the hull's clip off
    ac_clipped = 0x2000,      ///< the AC is at least what is told: its amplifier reached its end
};

constexpr Quality operator|(Quality a, Quality b) {
    return static_cast<Quality>(static_cast<std::uint16_t>(a) | static_cast<std::uint16_t>(b));
}
constexpr Quality& operator|=(Quality& a, Quality b) {
    return a = a | b;
}
constexpr Quality without(Quality set, Quality bits) {
    return static_cast<Quality>(static_cast<std::uint16_t>(set) &
                                ~static_cast<std::uint16_t>(bits));
}
constexpr bool has(Quality set, Quality bit) {
    return (static_cast<std::uint16_t>(set) & static_cast<std::uint16_t>(bit)) != 0;
}

/// The words of a set, separated by single spaces; empty when nothing is known against it.
std::string to_text(Quality quality);

/// Reads what to_text writes; an unknown word is an error that lists the known ones.
Result<Quality> parse_quality(std::string_view text);

enum class EventKind {
    shore_power_on,
    shore_power_off,
    step,
    repeated_load,
    ac_rise,
    ac_fall,
    open_lead,
    cell_dry,
    cells_disagree,
    polarity_reversed,
    gap,
    restart,
    clock_set,
    settling,
};
std::string_view name_of(EventKind kind); ///< "shore-power-on"

struct Event {
    Instant time;
    EventKind kind;
    double change_mv = missing_value; ///< of the potential; missing where none belongs to it
    std::string why;                  ///< in plain words
};

/// How a recording ended.
struct Ending {
    Instant time;
    std::string why; ///< in plain words
};

/// Another deployment goes on: the logger may have moved, another cell may hang.
struct Joint {
    std::size_t first; ///< its first reading
    std::string what;  ///< "deployment 3 (logger 0000a1b2)"
};

/// The comparison that a logger's readings rest on.
struct LoggerCalibration {
    CalibratedMeter meter;
    Instant at;
    Instant due; ///< when it had to be done again
};

/// Times rise strictly. potential_mv is as measured, against the cell. An optional column is an
/// empty vector when the trace has none; a missing field is missing_value.
struct Trace {
    std::string name;
    std::optional<Scale> cell_scale; ///< the scale of potential_mv, where the source says it
    std::vector<Instant> time;
    std::vector<double> potential_mv;
    std::vector<double> cell_b_mv; ///< second cell, [mV]
    std::vector<double> ac_mv;     ///< AC rms at the cell, [mV]
    std::vector<double> temperature_c;
    std::vector<double> salinity_psu;
    std::vector<double> source_ohm; ///< resistance of cell and lead, [ohm]
    std::vector<double> battery_mv;
    std::vector<Quality> quality;
    /// Which reading of its source each one is: the record's sequence number, or the row from 0 on.
    /// Empty where nobody asks.
    std::vector<std::uint32_t> sequence;
    std::vector<Event> events;                    ///< in order of time
    std::optional<Ending> ended;                  ///< where the recording was stopped
    std::vector<Joint> joints;                    ///< in order; none in a trace of one deployment
    std::optional<LoggerCalibration> calibration; ///< where a calibrated logger took the readings
};

} // namespace quaycell
