// The straight line that two points of a comparison give, and how its slope moves with temperature.
#pragma once

namespace quaycell {

/// What the logger makes of a voltage with a gain of 1 and no offset, and what the instrument says.
struct ComparedPoint {
    double shown_mv;
    double true_mv;
};

/// true = gain * shown + offset
struct Line {
    double gain;
    double offset_mv;
};

/// The two points must differ in `shown_mv`.
Line line_through(const ComparedPoint& a, const ComparedPoint& b);

/// By how much the gain changes for a kelvin, when the line that was found before has to give this
/// point with the board so much warmer (not 0). The offset counts as unchanged. [1/K]
double gain_drift_per_k(const Line& line, const ComparedPoint& point, double warmer_k);

} // namespace quaycell
