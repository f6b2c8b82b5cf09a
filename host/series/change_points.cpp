#include "series/change_points.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace quaycell {

namespace {

/// The least cost of all values so far, if the level that they end in is one of those between low
/// and high: count * (level - mean)^2 + least.
struct Piece {
    double low;
    double high;
    double count;
    double mean;
    double least;
    std::size_t begin; ///< where that level began

    double at(double level) const {
        const double off = level - mean;
        return count * off * off + least;
    }
    double minimum() const { return at(std::clamp(mean, low, high)); }
    void add(double value) {
        const double off = value - mean;
        least += count / (count + 1) * off * off;
        mean += off / (count + 1);
        count += 1;
    }
};

/// Pieces over all levels, from low to high.
class CostByLevel {
  public:
    CostByLevel(double low, double high) : pieces_{{low, high, 0, 0, 0, 0}} {}

    void add(double value) {
        for (Piece& piece : pieces_)
            piece.add(value);
    }

    /// Of the best level.
    const Piece& best() const {
        return *std::min_element(
            pieces_.begin(), pieces_.end(),
            [](const Piece& a, const Piece& b) { return a.minimum() < b.minimum(); });
    }

    /// A new level may begin here, at this cost: it replaces what is dearer.
    void begin_level(std::size_t begin, double cost) {
        next_.clear();
        for (const Piece& piece : pieces_) {
            const double room = cost - piece.least;
            const double reach = std::sqrt(std::max(room, 0.0) / piece.count);
            const bool kept = room > 0;
            const double from = kept ? std::max(piece.low, piece.mean - reach) : piece.high;
            const double to = kept ? std::min(piece.high, piece.mean + reach) : piece.high;
            if (from >= to) {
                add_level(piece.low, piece.high, begin, cost);
                continue;
            }
            add_level(piece.low, from, begin, cost);
            Piece part = piece;
            part.low = from;
            part.high = to;
            next_.push_back(part);
            add_level(to, piece.high, begin, cost);
        }
        pieces_.swap(next_);
    }

    /// Only differences of costs matter.
    void lower_all(double by) {
        for (Piece& piece : pieces_)
            piece.least -= by;
    }

  private:
    void add_level(double low, double high, std::size_t begin, double cost) {
        if (!(low < high)) return;
        if (!next_.empty() && next_.back().begin == begin && next_.back().high == low)
            next_.back().high = high;
        else
            next_.push_back({low, high, 0, 0, cost, begin});
    }

    std::vector<Piece> pieces_;
    std::vector<Piece> next_;
};

} // namespace

std::vector<std::size_t> change_points(std::span<const double> values, double penalty) {
    if (values.empty()) return {};
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    if (*low == *high) return {};
    CostByLevel cost(*low, *high);
    std::vector<std::size_t> begin_of(values.size()); // of the level that value i ends, at best
    for (std::size_t i = 0; i < values.size(); ++i) {
        cost.add(values[i]);
        const Piece& best = cost.best();
        const double least = best.minimum();
        begin_of[i] = best.begin;
        cost.lower_all(least);
        cost.begin_level(i + 1, penalty);
    }
    std::vector<std::size_t> changes;
    for (std::size_t begin = begin_of.back(); begin != 0; begin = begin_of[begin - 1])
        changes.push_back(begin);
    std::reverse(changes.begin(), changes.end());
    return changes;
}

} // namespace quaycell
