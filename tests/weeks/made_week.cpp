#include "made_week.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>

namespace quaycell::weeks {

namespace {

constexpr double hour_s = 3600;
constexpr double day_s = 24 * hour_s;

class Chance {
  public:
    explicit Chance(std::uint64_t seed) : engine_(seed) {}
    double between(double low, double high) {
        return std::uniform_real_distribution{low, high}(engine_);
    }
    int between_whole(int low, int high) {
        return std::uniform_int_distribution{low, high}(engine_);
    }
    bool one_in(double n) { return between(0, n) < 1; }
    double gaussian() { return normal_(engine_); }
    /// Of standard deviation 1, with the extremes of Student's t with 3 degrees of freedom.
    double heavy() { return std::student_t_distribution<double>{3}(engine_) / std::sqrt(3.0); }
    double sign() { return one_in(2) ? 1 : -1; }

  private:
    std::mt19937_64 engine_;
    std::normal_distribution<double> normal_;
};

/// Changes by so much from one time on, [s], [mV].
struct Jump {
    double at_s;
    double by;
};

/// From when to when the cell shows something else.
struct Spoilt {
    double from_s;
    double to_s;
    EventKind kind;
    double level_mv;
    double noise_mv;
    double ac_mv;
};

class Maker {
  public:
    explicit Maker(const Wanted& wanted)
        : chance_(wanted.seed), heavy_tails_(wanted.heavy_tails), length_s_(wanted.days * day_s) {
        constexpr std::array intervals_s{1, 10, 60};
        interval_s_ = intervals_s.at(static_cast<std::size_t>(chance_.between_whole(0, 2)));
        if (wanted.days > 7) interval_s_ = 60; // as long records are
        interval_s_ = wanted.interval_s.value_or(interval_s_);
        made_.interval = std::chrono::seconds{interval_s_};
        made_.noise_mv = std::exp(chance_.between(std::log(0.3), std::log(5.0)));
        made_.drift_mv_per_day =
            wanted.days > 7 ? chance_.between(-0.5, 1.5) : chance_.between(-2, 3);
        base_mv_ = chance_.between(-1030, -920);
        tide_mv_ = chance_.between(0, 25);
        daily_tide_mv_ = chance_.between(0, 5);
        day_mv_ = chance_.between(0, 8);
        solar_tide_mv_ = tide_mv_ * chance_.between(0, 0.4);
        unrest_mv_ = chance_.one_in(2) ? 0 : chance_.between(0.2, 1.5);
        unrest_s_ = chance_.between(0.5, 3) * hour_s;
        ac_noise_ = chance_.between(0.02, 0.12);
        phase_ = chance_.between(0, 2 * std::numbers::pi);
        ac_base_mv_ = chance_.between(0.5, 5);
        least_mv_ = std::max(5.0, 8 * made_.noise_mv);
        if (!wanted.quiet) {
            const int events = chance_.between_whole(0, 30);
            for (int i = 0; i < events; ++i)
                add_something();
        }
        if (chance_.one_in(2)) add_gaps();
        write();
    }

    MadeTrace made() && { return std::move(made_); }

  private:
    double height() { return least_mv_ * chance_.between(1.02, 6); }

    /// A time with so much room round it in which nothing else happens; negative when there is
    /// none.
    double free_time(double lasting_s) {
        constexpr double apart_s = 0.4 * hour_s;
        for (int attempt = 0; attempt < 100; ++attempt) {
            const double from = chance_.between(2 * hour_s, length_s_ - lasting_s - 2 * hour_s);
            const bool is_free = std::ranges::none_of(taken_, [&](const auto& other) {
                return from < other.second + apart_s && from + lasting_s + apart_s > other.first;
            });
            if (!is_free) continue;
            taken_.emplace_back(from, from + lasting_s);
            return from;
        }
        return -1;
    }

    void tell(EventKind kind, double at_s, double height_mv) {
        told_.push_back({at_s, kind, height_mv});
    }

    void add_something() {
        switch (chance_.between_whole(0, 7)) {
        case 0:
        case 1:
            return shore_power();
        case 2:
        case 3:
            return step();
        case 4:
            return load();
        case 5:
            return ac_only();
        case 6:
            return spoil();
        default:
            return cell_b();
        }
    }

    void shore_power() {
        const double length = chance_.between(1, 30) * hour_s;
        const double from = free_time(length);
        if (from < 0) return;
        const double by = height() * (chance_.one_in(4) ? -1 : 1);
        const double ac = chance_.between(15, 200);
        jumps_.push_back({from, by});
        jumps_.push_back({from + length, -by});
        ac_jumps_.push_back({from, ac});
        ac_jumps_.push_back({from + length, -ac});
        tell(EventKind::shore_power_on, from, by);
        tell(EventKind::shore_power_off, from + length, -by);
    }

    void step() {
        const double from = free_time(0);
        if (from < 0) return;
        // Back toward where it began, so that it stays what a hull may show.
        const double by = height() * (stepped_mv_ > 0 ? -1 : 1);
        stepped_mv_ += by;
        jumps_.push_back({from, by});
        tell(EventKind::step, from, by);
    }

    void load() {
        const double on = chance_.between(std::max(120.0, 4.0 * interval_s_), 20 * 60);
        const double period = on * chance_.between(2, 6);
        const int pulses = chance_.between_whole(4, 30);
        const double from = free_time(pulses * period);
        if (from < 0) return;
        const double by = height() * chance_.sign();
        for (int i = 0; i < pulses; ++i) {
            jumps_.push_back({from + i * period, by});
            jumps_.push_back({from + i * period + on, -by});
        }
        tell(EventKind::repeated_load, from, by);
    }

    void ac_only() {
        const double length = chance_.between(0.5, 20) * hour_s;
        const double from = free_time(length);
        if (from < 0) return;
        const double ac = chance_.between(15, 200);
        ac_jumps_.push_back({from, ac});
        ac_jumps_.push_back({from + length, -ac});
        tell(EventKind::ac_rise, from, 0);
        tell(EventKind::ac_fall, from + length, 0);
    }

    void spoil() {
        const double length = chance_.between(0.25, 5) * hour_s;
        const double from = free_time(length);
        if (from < 0) return;
        Spoilt spoilt{from, from + length, EventKind::cell_dry, 0, 0, 0};
        switch (chance_.between_whole(0, 3)) {
        case 0:
            spoilt.level_mv = chance_.between(-600, -100);
            spoilt.noise_mv = std::max(12 * made_.noise_mv, chance_.between(30, 150));
            spoilt.ac_mv = chance_.between(50, 400);
            break;
        case 1:
            spoilt.kind = EventKind::open_lead;
            spoilt.level_mv = chance_.one_in(2) ? 600 : -2047;
            spoilt.noise_mv = 0.1;
            break;
        case 2:
            spoilt.kind = EventKind::open_lead;
            spoilt.noise_mv = 1;
            break;
        default:
            spoilt.kind = EventKind::polarity_reversed;
            spoilt.noise_mv = made_.noise_mv;
            break;
        }
        spoilt_.push_back(spoilt);
        tell(spoilt.kind, from, 0);
    }

    void cell_b() {
        if (has_b_) return;
        const double from = free_time(0);
        if (from < 0) return;
        has_b_ = true;
        b_jumps_.push_back({from, (15 + 4 * made_.noise_mv) * chance_.sign()});
        tell(EventKind::cells_disagree, from, 0);
    }

    void add_gaps() {
        for (int i = chance_.between_whole(1, 3); i > 0; --i) {
            const double length = chance_.between(10 * 60, 6 * hour_s);
            const double from = free_time(length);
            if (from >= 0) gaps_.emplace_back(from, from + length);
        }
    }

    static double sum_at(const std::vector<Jump>& jumps, double t) {
        double sum = 0;
        for (const Jump& jump : jumps)
            if (t >= jump.at_s) sum += jump.by;
        return sum;
    }

    double slow_mv(double t) const {
        const auto wave = [t](double amplitude, double period_h, double phase) {
            return amplitude * std::cos(2 * std::numbers::pi * t / (period_h * hour_s) + phase);
        };
        return made_.drift_mv_per_day * t / day_s + wave(tide_mv_, 12.42, phase_) +
               wave(solar_tide_mv_, 12, 4 * phase_) + wave(daily_tide_mv_, 24.84, 2 * phase_) +
               wave(day_mv_, 24, 3 * phase_);
    }

    void write() {
        for (auto* jumps : {&jumps_, &ac_jumps_})
            std::ranges::sort(*jumps, {}, &Jump::at_s);
        Trace& trace = made_.trace;
        const Instant start = from_unix_s(1'777'874'400);
        double jump = 0, ac_jump = 0, above = 0, hull = 0, unrest = 0;
        const double stays = std::exp(-interval_s_ / unrest_s_);
        std::size_t next = 0, next_ac = 0;
        for (double t = 0; t < length_s_; t += interval_s_) {
            while (next < jumps_.size() && jumps_[next].at_s <= t)
                jump += jumps_[next++].by;
            while (next_ac < ac_jumps_.size() && ac_jumps_[next_ac].at_s <= t)
                ac_jump += ac_jumps_[next_ac++].by;
            // What wind, flow and sun do to the potential: it wanders and comes back.
            unrest =
                stays * unrest + unrest_mv_ * std::sqrt(1 - stays * stays) * chance_.gaussian();
            if (std::ranges::any_of(
                    gaps_, [t](const auto& gap) { return t >= gap.first && t < gap.second; }))
                continue;
            const double true_mv = base_mv_ + slow_mv(t) + unrest + jump;
            double shown =
                true_mv + made_.noise_mv * (heavy_tails_ ? chance_.heavy() : chance_.gaussian());
            double ac =
                (ac_base_mv_ + std::max(0.0, ac_jump)) * (1 + ac_noise_ * chance_.gaussian());
            bool is_spoilt = false;
            for (const Spoilt& spoilt : spoilt_) {
                if (t < spoilt.from_s || t >= spoilt.to_s) continue;
                is_spoilt = true;
                shown = (spoilt.kind == EventKind::polarity_reversed ? -true_mv : spoilt.level_mv) +
                        spoilt.noise_mv * chance_.gaussian();
                ac += spoilt.ac_mv;
            }
            hull += !is_spoilt;
            trace.time.push_back(start + std::chrono::seconds{std::llround(t)});
            trace.potential_mv.push_back(std::round(shown * 16) / 16); // as a converter does
            above += !is_spoilt && trace.potential_mv.back() > limit_mv;
            trace.ac_mv.push_back(std::abs(ac));
            if (has_b_)
                trace.cell_b_mv.push_back(shown + 3 + sum_at(b_jumps_, t) +
                                          0.5 * made_.noise_mv * chance_.gaussian());
        }
        made_.true_share_above = above / hull;
        for (const Told& each : told_) {
            const double shown_at = std::ceil(each.at_s / interval_s_) * interval_s_;
            made_.truth.push_back(
                {each.kind, start + std::chrono::seconds{std::llround(shown_at)}, each.height_mv});
        }
        std::ranges::sort(made_.truth, {}, &TrueEvent::time);
    }

    struct Told {
        double at_s;
        EventKind kind;
        double height_mv;
    };

    Chance chance_;
    bool heavy_tails_;
    double length_s_;
    int interval_s_ = 0;
    double base_mv_ = 0, tide_mv_ = 0, daily_tide_mv_ = 0, day_mv_ = 0, phase_ = 0;
    double solar_tide_mv_ = 0, unrest_mv_ = 0, unrest_s_ = 0;
    double ac_base_mv_ = 0, ac_noise_ = 0, least_mv_ = 0;
    double stepped_mv_ = 0;
    bool has_b_ = false;
    std::vector<std::pair<double, double>> taken_, gaps_;
    std::vector<Jump> jumps_, ac_jumps_, b_jumps_;
    std::vector<Spoilt> spoilt_;
    std::vector<Told> told_;
    MadeTrace made_{};
};

} // namespace

MadeTrace make_trace(const Wanted& wanted) {
    return Maker(wanted).made();
}

} // namespace quaycell::weeks
