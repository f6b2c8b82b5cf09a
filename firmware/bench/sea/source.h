// What lies between the front end and the sea: the resistance of cell and lead, and a lead that is
// open. Figures of the simulated circuit, see source.cpp.
#pragma once

namespace quaycell::bench {

/// Peak of the stimulus at an AC amplifier's output, by the source's resistance, [mV].
double stimulus_response_mv(double source_ohm);
/// The same with the lead open at the cell's end of a cable of that capacitance, 0 to 3 nF.
double open_response_mv(double cable_nf);
/// The same at one of two cells in the water with the hull's clip off, by the resistance of both
/// sources together.
double clip_off_response_mv(double both_ohm, double cable_nf);

/// The part of an AC voltage that a source with resistance keeps at the front end.
double ac_kept(double source_ohm);

/// What the stimulus does to the DC at its worst, [mV].
double stimulus_disturbance_mv(double source_ohm);

} // namespace quaycell::bench
