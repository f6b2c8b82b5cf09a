#include "series/readings.h"

namespace quaycell {

Readings::Readings(Trace trace)
    : name(std::move(trace.name)), cell_scale(trace.cell_scale), time(std::move(trace.time)),
      potential_mv(std::move(trace.potential_mv)), cell_b_mv(std::move(trace.cell_b_mv)),
      ac_mv(std::move(trace.ac_mv)), temperature_c(std::move(trace.temperature_c)),
      salinity_psu(std::move(trace.salinity_psu)), source_ohm(std::move(trace.source_ohm)),
      battery_mv(std::move(trace.battery_mv)), quality(std::move(trace.quality)),
      sequence(std::move(trace.sequence)), events(std::move(trace.events)),
      ended(std::move(trace.ended)), joints(std::move(trace.joints)),
      calibration(trace.calibration) {}

Trace whole_trace(const Readings& readings) {
    Trace trace;
    trace.name = readings.name;
    trace.cell_scale = readings.cell_scale;
    trace.time = readings.time.whole();
    trace.potential_mv = readings.potential_mv.whole();
    trace.cell_b_mv = readings.cell_b_mv.whole();
    trace.ac_mv = readings.ac_mv.whole();
    trace.temperature_c = readings.temperature_c.whole();
    trace.salinity_psu = readings.salinity_psu.whole();
    trace.source_ohm = readings.source_ohm.whole();
    trace.battery_mv = readings.battery_mv.whole();
    trace.quality = readings.quality.whole();
    trace.sequence = readings.sequence.whole();
    trace.events = readings.events;
    trace.ended = readings.ended;
    trace.joints = readings.joints;
    trace.calibration = readings.calibration;
    return trace;
}

} // namespace quaycell
