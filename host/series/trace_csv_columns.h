// The columns of a trace CSV, for who reads and who writes one.
#pragma once

#include "series/trace.h"

#include <array>
#include <string_view>

namespace quaycell::csv {

/// A column of numbers: where it goes, and the limits of what can be meant. The limits only catch
/// slips (a wrong unit, a lost decimal point); they are far wider than anything in a harbour.
struct NumberColumn {
    std::string_view name;
    std::vector<double> Trace::*values;
    double low;
    double high;
    bool required;
};
inline constexpr std::array<NumberColumn, 7> number_columns{{
    {"potential_mv", &Trace::potential_mv, -5000, 5000, true},
    {"cell_b_mv", &Trace::cell_b_mv, -5000, 5000, false},
    {"ac_mv", &Trace::ac_mv, 0, 500000, false},
    {"temperature_c", &Trace::temperature_c, -10, 60, false},
    {"salinity_psu", &Trace::salinity_psu, 0, 400, false},
    {"source_ohm", &Trace::source_ohm, 0, 1e12, false},
    {"battery_mv", &Trace::battery_mv, 0, 100000, false},
}};
inline constexpr std::string_view time_name = "time";
inline constexpr std::string_view scale_name = "cell_scale";
inline constexpr std::string_view quality_name = "quality";
inline constexpr std::string_view standard_name = "standard_mv";

} // namespace quaycell::csv
