// The readings of a trace, column by column, without the trace being held whole.
#pragma once

#include "series/column.h"
#include "series/trace.h"

namespace quaycell {

/// As Trace, see there.
struct Readings {
    std::string name;
    std::optional<Scale> cell_scale;
    Column<Instant> time;
    Column<double> potential_mv;
    Column<double> cell_b_mv;
    Column<double> ac_mv;
    Column<double> temperature_c;
    Column<double> salinity_psu;
    Column<double> source_ohm;
    Column<double> battery_mv;
    Column<Quality> quality;
    Column<std::uint32_t> sequence;
    std::vector<Event> events;
    std::optional<Ending> ended;
    std::vector<Joint> joints;
    std::optional<LoggerCalibration> calibration;

    Readings() = default;
    Readings(Trace trace);
};

/// All of them, for whoever has to change or to write them.
Trace whole_trace(const Readings& readings);

} // namespace quaycell
