#include "series/likeness.h"

#include <numeric>

namespace quaycell {

double lag_1_autocorrelation(std::span<const double> values) {
    const double mean =
        std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
    double products = 0, squares = 0;
    for (std::size_t i = 0; i < values.size(); ++i) {
        const double off = values[i] - mean;
        squares += off * off;
        if (i > 0) products += off * (values[i - 1] - mean);
    }
    return squares > 0 ? products / squares : 0;
}

} // namespace quaycell
