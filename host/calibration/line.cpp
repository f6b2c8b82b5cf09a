#include "calibration/line.h"

namespace quaycell {

Line line_through(const ComparedPoint& a, const ComparedPoint& b) {
    const double gain = (b.true_mv - a.true_mv) / (b.shown_mv - a.shown_mv);
    return {gain, a.true_mv - gain * a.shown_mv};
}

double gain_drift_per_k(const Line& line, const ComparedPoint& point, double warmer_k) {
    const double gain = (point.true_mv - line.offset_mv) / point.shown_mv;
    return (gain - line.gain) / warmer_k;
}

} // namespace quaycell
