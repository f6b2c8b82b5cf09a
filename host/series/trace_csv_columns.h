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
/// Which of several deployments a reading belongs to, in words; empty: to the same as the one
/// before.
inline constexpr std::string_view deployment_name = "deployment";
inline constexpr std::string_view standard_name = "standard_mv";

/// What a deployment's words are made of: nothing that a CSV field or a spreadsheet takes for more.
inline constexpr std::size_t longest_deployment = 80;
constexpr bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
constexpr bool may_name_deployment(char c) {
    return is_letter(c) || (c >= '0' && c <= '9') ||
           std::string_view(" ()._-").find(c) != std::string_view::npos;
}

} // namespace quaycell::csv
