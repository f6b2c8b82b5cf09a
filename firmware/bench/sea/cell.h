// What the open silver/silver-chloride cell is in the water it hangs in.
// From a table computed by an independent library (cell-potential.csv), not from the host's
// equations.
#pragma once

#include "bench/sea/signal.h"

namespace quaycell::bench {

/// Salinities and temperatures that the table covers.
Range cell_salinity_psu();
Range cell_temperature_c();

/// Potential of the bare cell against the hydrogen electrode at the same temperature, [mV]; between
/// the table's points linear in the logarithm of salinity and in temperature. Outside the table the
/// nearest edge counts.
double cell_potential_mv(double salinity_psu, double temperature_c);

/// What a cell in this water reads on metal whose potential on agcl/seawater is given, [mV].
double reading_mv(double agcl_seawater_mv, double salinity_psu, double temperature_c);

} // namespace quaycell::bench
