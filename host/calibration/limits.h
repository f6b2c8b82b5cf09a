// What a logger may be off by and still be accepted: the table of the comparison.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// What is held against a limit, in the order of the table.
enum class Limit {
    zero,
    reference,
    ac_floor,
    gain,
    offset,
    verify,
    behind_100_kohm,
    behind_10_mohm,
    stimulus_short,
    stimulus_10_kohm,
    stimulus_100_kohm,
    stimulus_open,
    ac_gain,
    ac_dc_shift,
    gain_drift,
    stuck_bits,
    scatter,
};

struct LimitFacts {
    std::string_view what; ///< in words
    double low, high;      ///< both still accepted
    std::string_view unit;
    int decimals; ///< to show it with
    int step;     ///< of the procedure; 0: in each
    std::string_view source;
};

const LimitFacts& facts_of(Limit limit);

/// One value that was found, held against its limit.
struct Check {
    Limit limit;
    std::string at; ///< "-1800 mV", "50 Hz"; empty where there is only one
    double value;

    /// Not where the value is no number.
    bool accepted() const;
};

bool all_accepted(const std::vector<Check>& checks);

/// "error at -1800 mV: 0.12 mV (-0.25 to 0.25 mV): accepted"
std::string to_text(const Check& check);

} // namespace quaycell
