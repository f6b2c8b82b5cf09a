#include "series/disturbances.h"

#include "series/robust.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace quaycell {

namespace {

using namespace std::chrono_literals;

// Our judgement, all of them, beside the galvanic series: from magnesium at -1600 mV to graphite
// at +300 mV in sea water, and -1750 mV for magnesium that works.
constexpr double most_negative_metal_mv = -1800;
constexpr double dead_zero_mv = 25;
constexpr double far_from_zero_mv = 150;
constexpr double clearly_positive_mv = 100;
/// Swapped leads show the level before with its sign turned, as near as this.
constexpr double mirror_mv = 20;
constexpr double mirror_share = 0.04;
/// A cell that hangs in air picks up what is about; in water the noise of a reading is some 5 mV at
/// most.
constexpr double noisy_times = 8;
constexpr double noisy_mv = 12;
/// Far from the usual level, where no step of a hull leads, less noise tells as much.
constexpr double far_off_mv = 150;
constexpr double noisy_times_far_off = 4;
constexpr double noisy_mv_far_off = 5;
constexpr double no_wet_cell_ohm = 100'000; // three times what a good cell may have
/// Noise is measured over so many readings, and over no shorter a time.
constexpr std::size_t noise_readings = 8;
constexpr Milliseconds noise_time = 30s;
/// Odd readings that are parted by no more good ones belong together.
constexpr std::size_t joined_across = 8;
constexpr std::size_t fewest_odd = 2;

enum class Oddity : std::uint8_t {
    none,
    positive,
    beyond_metals,
    dead_zero,
    noisy,
    resistance,
    told
};

struct Meaning {
    EventKind kind;
    const char* why;
};

Meaning meaning_of(Oddity oddity) {
    switch (oddity) {
    case Oddity::positive:
    case Oddity::beyond_metals:
        return {EventKind::open_lead, "no metal shows such a potential: a lead is open"};
    case Oddity::dead_zero:
        return {EventKind::open_lead,
                "the reading is dead at zero: a lead is open, or cell and hull touch"};
    case Oddity::noisy:
        return {EventKind::cell_dry,
                "the reading is many times as noisy as usual: the cell is out of the water"};
    case Oddity::resistance:
        return {EventKind::open_lead,
                "no wet cell has such a source resistance: an open lead, a dry cell or the hull's "
                "clip off"};
    case Oddity::told:
    case Oddity::none:
        break;
    }
    return {EventKind::open_lead,
            "the logger found an open lead, a dry cell or the hull's clip off"};
}

constexpr Meaning swapped{
    EventKind::polarity_reversed,
    "the potential has its sign turned: the leads of hull and cell are swapped"};

/// What is usual in a trace.
struct Usual {
    double level_mv;
    double noise_mv;
};

Usual usual_of(const Column<double>& potential_mv) {
    NoiseMeter noise;
    std::vector<double> some = some_of(potential_mv, 0, potential_mv.size());
    for (const double value : some)
        if (std::isfinite(value)) noise.add(value);
    return {median_in_place(some), noise.noise()};
}

/// From what on noise is odd, and over how many readings it is measured.
struct NoiseLimits {
    NoiseLimits(const Usual& usual, Milliseconds interval)
        : anywhere_mv(std::max(noisy_mv, noisy_times * usual.noise_mv)),
          far_off_mv(std::max(noisy_mv_far_off, noisy_times_far_off * usual.noise_mv)) {
        if (interval.count() > 0)
            window = std::max(window, static_cast<std::size_t>(noise_time / interval) / 2 * 2);
    }

    double anywhere_mv;
    double far_off_mv; ///< far from the usual level
    std::size_t window = noise_readings;
};

Oddity oddity_of_value(double potential_mv, const Usual& usual) {
    if (potential_mv > clearly_positive_mv) return Oddity::positive;
    if (potential_mv < most_negative_metal_mv) return Oddity::beyond_metals;
    if (std::abs(potential_mv) < dead_zero_mv && std::abs(usual.level_mv) > far_from_zero_mv)
        return Oddity::dead_zero;
    return Oddity::none; // a missing one too
}

/// Where readings differ by so much from the one before that they may be noisy, by stretches of
/// equal length: a quick look, which finds every noisy window and some more.
class QuickLook {
  public:
    /// noise_of() is 1.048 times the median of the differences.
    QuickLook(std::size_t readings, const NoiseLimits& limits)
        : limit_mv_(0.95 * std::min(limits.anywhere_mv, limits.far_off_mv)),
          length_(limits.window / 2), left_(length_), large_(readings / length_ + 1, 0) {}

    /// All readings, one after another.
    void add(std::span<const double> potential_mv) {
        while (!potential_mv.empty()) {
            const auto part = potential_mv.first(std::min(left_, potential_mv.size()));
            std::uint32_t large = 0;
            for (const double value : part) {
                large += !(std::abs(value - last_) < limit_mv_); // a missing one, too
                last_ = value;
            }
            large_[stretch_] += large;
            potential_mv = potential_mv.subspan(part.size());
            if (left_ -= part.size(); left_ != 0) continue;
            ++stretch_;
            left_ = length_;
        }
    }

    /// Whether half of the differences in two stretches from this reading on are large.
    bool may_be_noisy(std::size_t first) const {
        const std::size_t at = first / length_;
        const std::size_t next = at + 1 < large_.size() ? large_[at + 1] : 0U;
        return 2 * (large_[at] + next + 1) >= 2 * length_ - 1;
    }

  private:
    double limit_mv_;
    std::size_t length_;
    std::size_t left_; ///< of the stretch
    std::size_t stretch_ = 0;
    double last_ = missing_value;
    std::vector<std::uint32_t> large_;
};

/// The readings [first, end).
std::vector<double> stretch(const Column<double>& values, std::size_t first, std::size_t end) {
    std::vector<double> part(end - first);
    values.read(first, part);
    return part;
}

/// Marks noisy stretches, whole windows first and then what lies off beside them.
void mark_noise(const Column<double>& potential_mv, const Usual& usual, const NoiseLimits& limits,
                const QuickLook& quick, std::vector<Oddity>& odd) {
    const std::size_t window = limits.window;
    const std::size_t count = potential_mv.size();
    const auto level = [&](std::size_t first, std::size_t end) {
        return first < end ? median_of(stretch(potential_mv, first, end)) : missing_value;
    };
    const auto off = [&](std::size_t i, double from) {
        return std::isnan(potential_mv[i]) || std::abs(potential_mv[i] - from) > limits.anywhere_mv;
    };
    const auto is_noisy = [&](std::size_t first, double here, double far_off) {
        // Differences tell each single extreme twice; half of the readings have to lie off as well.
        const std::vector<double> here_mv = stretch(potential_mv, first, first + window);
        const double found = std::min(noise_of(here_mv), 2 * spread_of(here_mv));
        return found >= here || (found >= far_off && std::abs(level(first, first + window) -
                                                              usual.level_mv) > far_off_mv);
    };
    const auto begins = [&](std::size_t first) {
        return quick.may_be_noisy(first) && is_noisy(first, limits.anywhere_mv, limits.far_off_mv);
    };
    // By chance a noisy window may look half as noisy, and now and then a quarter.
    const auto goes_on = [&](std::size_t first) {
        return is_noisy(first, limits.anywhere_mv / 2, limits.far_off_mv / 4);
    };
    std::size_t done = 0; // readings before it are settled
    for (std::size_t first = 0; first + window <= count; first += window / 2) {
        if (first < done || !begins(first)) continue;
        std::size_t begin = first, end = first + window;
        while (begin >= done + window && goes_on(begin - window))
            begin -= window;
        while (end + window <= count && goes_on(end))
            end += window;
        // The levels that the noise breaks off from and that come back after it.
        const std::size_t before = begin < window ? 0 : begin - window;
        const double level_before = level(before, begin);
        const std::size_t later = std::min(end + 2 * window, count);
        const double level_after = level(later, std::min(later + window, count));
        std::size_t from = before, to = later;
        if (!std::isnan(level_before))
            while (from < end && !off(from, level_before))
                ++from;
        if (!std::isnan(level_after))
            while (to > from && !off(to - 1, level_after))
                --to;
        for (std::size_t i = from; i < to; ++i)
            if (odd[i] == Oddity::none) odd[i] = Oddity::noisy;
        done = std::max(to, end);
    }
}

std::vector<Oddity> oddities_of(const Readings& trace, Milliseconds interval) {
    const Usual usual = usual_of(trace.potential_mv);
    const NoiseLimits limits(usual, interval);
    QuickLook quick(trace.time.size(), limits);
    std::vector<Oddity> odd(trace.time.size(), Oddity::none);
    for (std::size_t first = 0; first < odd.size();) {
        const std::size_t end = std::min(first - first % column_piece + column_piece, odd.size());
        const auto potential_mv = trace.potential_mv.from(first).first(end - first);
        quick.add(potential_mv);
        for (std::size_t i = first; i < end; ++i)
            odd[i] = oddity_of_value(potential_mv[i - first], usual);
        if (!trace.source_ohm.empty()) {
            const auto source_ohm = trace.source_ohm.from(first);
            for (std::size_t i = first; i < end; ++i)
                if (source_ohm[i - first] >= no_wet_cell_ohm) odd[i] = Oddity::resistance;
        }
        if (!trace.quality.empty()) {
            const auto quality = trace.quality.from(first);
            for (std::size_t i = first; i < end; ++i)
                if (has(quality[i - first], Quality::lead_not_good | Quality::lead_doubtful))
                    odd[i] = Oddity::told;
        }
        first = end;
    }
    mark_noise(trace.potential_mv, usual, limits, quick, odd);
    return odd;
}

/// Median of up to so many readings that show the hull, before `first` or from `end` on.
double level_beside(const Column<double>& potential_mv, const std::vector<Oddity>& odd,
                    std::size_t first, std::size_t end) {
    std::vector<double> beside;
    for (std::size_t i = first; i > 0 && beside.size() < noise_readings; --i)
        if (odd[i - 1] == Oddity::none) beside.push_back(potential_mv[i - 1]);
    for (std::size_t i = end; beside.empty() && i < std::min(odd.size(), end + noise_readings); ++i)
        if (odd[i] == Oddity::none) beside.push_back(potential_mv[i]);
    return median_of(std::move(beside));
}

bool is_mirrored(const Column<double>& potential_mv, const std::vector<Oddity>& odd,
                 std::size_t first, std::size_t end) {
    const double level = median_of(potential_mv, first, end);
    const double beside = level_beside(potential_mv, odd, first, end);
    // A trace that is positive from end to end was wired the other way round.
    if (std::isnan(beside)) return true;
    return std::abs(level + beside) < std::max(mirror_mv, mirror_share * std::abs(beside));
}

} // namespace

std::vector<Disturbance> disturbances_of(const Readings& trace, Milliseconds interval) {
    const std::vector<Oddity> odd = oddities_of(trace, interval);
    std::vector<Disturbance> found;
    for (std::size_t first = 0; first < odd.size();) {
        if (odd[first] == Oddity::none) {
            ++first;
            continue;
        }
        std::size_t end = first + 1, last = first, count = 1, noisy = 0;
        for (; end < odd.size() && end - last <= joined_across; ++end) {
            if (odd[end] == Oddity::none) continue;
            last = end;
            ++count;
        }
        end = last + 1;
        for (std::size_t i = first; i < end; ++i)
            noisy += odd[i] == Oddity::noisy;
        if (count >= fewest_odd) {
            // Noise explains values beyond any metal, not the other way round.
            Meaning meaning = meaning_of(2 * noisy > count ? Oddity::noisy : odd[first]);
            if (2 * noisy <= count && odd[first] == Oddity::positive &&
                is_mirrored(trace.potential_mv, odd, first, end))
                meaning = swapped;
            found.push_back({first, end, meaning.kind, meaning.why});
        }
        first = end;
    }
    return found;
}

} // namespace quaycell
