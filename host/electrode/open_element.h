// The potential of a bare silver/silver-chloride element in the local water.
#pragma once

#include "base/result.h"
#include "electrode/chloride.h"

namespace quaycell {

/// What stands for the activity of the chloride ion alone, which nobody can measure.
enum class ChlorideActivity {
    macinnes,             ///< that of potassium chloride at the same ionic strength: fits KCl cells
    mean_sodium_chloride, ///< the mean activity of sodium chloride at the same ionic strength
};

/// Standard potential of silver/silver chloride against SHE at the same temperature, [mV], 0 to 95
/// degC. Bates and Bower 1954, J. Res. NBS 53:283, equation 4; within 0.085 mV of their table.
double silver_chloride_standard_mv(double temperature_c);

/// Potential of the element against SHE at the same temperature, [mV]. Within 0.15 mV of a full
/// mixture model of sea water for salinities of 0.05 to 42 and 0 to 40 degC.
/// Out of water_temperature_limits is an error.
Result<double> open_element_vs_she_mv(const Chloride& chloride, double temperature_c,
                                      ChlorideActivity activity = ChlorideActivity::macinnes);

} // namespace quaycell
