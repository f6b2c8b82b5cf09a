// Draws true potentials of readings in many waters, each error from its own distribution and
// through the model (JCGM 101:2008), and holds against them what the program states: the k = 2
// interval, the probability of lying beyond a limit, and the verdict "protected".
//
// usage: monte_carlo DRAWS [SEED]    prints a table; exits 1 where a statement does not hold
#include "electrode/budget.h"
#include "electrode/junction.h"
#include "electrode/limits.h"
#include "electrode/salinity.h"
#include "protection/verdict.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <optional>
#include <random>

using namespace quaycell;

namespace {

constexpr double least_coverage = 0.95;
constexpr double probability_tolerance = 0.005;
constexpr double most_wrong_verdicts = 0.025;

struct Case {
    const char* name;
    Scale scale;
    double temperature_c;
    Range salinity_psu;
    CellCheck check;
    bool assumed;
    bool is_range() const { return salinity_psu.low < salinity_psu.high && !assumed; }
};

constexpr std::array cases{
    Case{"sea, bare, checked", Scale::agcl_open, 15, {35, 35}, CellCheck::checked, false},
    Case{"sea, bare, unchecked", Scale::agcl_open, 15, {35, 35}, CellCheck::unchecked, false},
    Case{"cold sea, bare, checked", Scale::agcl_open, 0, {32, 32}, CellCheck::checked, false},
    Case{"warm sea, bare, checked", Scale::agcl_open, 30, {38, 38}, CellCheck::checked, false},
    Case{"10 PSU, bare, checked", Scale::agcl_open, 12, {10, 10}, CellCheck::checked, false},
    Case{"5 PSU, bare, unchecked", Scale::agcl_open, 8, {5, 5}, CellCheck::unchecked, false},
    Case{"1 PSU, bare, checked", Scale::agcl_open, 15, {1, 1}, CellCheck::checked, false},
    Case{"sea, agcl/seawater, checked",
         Scale::agcl_seawater,
         15,
         {35, 35},
         CellCheck::checked,
         false},
    Case{"sea, sce, checked", Scale::sce, 15, {35, 35}, CellCheck::checked, false},
    Case{"sea, cse, unchecked", Scale::cse, 10, {30, 30}, CellCheck::unchecked, false},
    Case{"10 PSU, kcl-sat, checked", Scale::agcl_kcl_sat, 18, {10, 10}, CellCheck::checked, false},
    Case{"sea, zinc, unchecked", Scale::zinc, 15, {35, 35}, CellCheck::unchecked, false},
    Case{"nothing said, unchecked", Scale::agcl_open, 15, {30, 40}, CellCheck::unchecked, true},
    Case{"harbour 22 to 33 PSU", Scale::agcl_open, 13, {22, 33}, CellCheck::checked, false},
    Case{"estuary 5 to 30 PSU", Scale::agcl_open, 13, {5, 30}, CellCheck::checked, false},
    Case{"brackish 0.5 to 30 PSU", Scale::agcl_open, 15, {0.5, 30}, CellCheck::unchecked, false},
};

constexpr std::array bands{Band{-800, -1100}, Band{-900, -1100}, Band{-450, std::nullopt},
                           Band{-550, -600}, Band{std::nullopt, -1100}};

Water water_of(const Case& c) {
    Water water;
    water.temperature_c = c.temperature_c;
    water.temperature_assumed = c.assumed;
    water.salinity_psu = c.salinity_psu;
    water.salinity_assumed = c.assumed;
    return water;
}

/// True potential less the stated one, drawn over and over.
class Draws {
  public:
    Draws(const Case& c, std::uint64_t seed)
        : case_(c), water_(water_of(c)), engine_(seed),
          stated_mv_(*convert_mv(0, c.scale, Scale::agcl_seawater, water_)),
          freshest_drop_(*resistivity_ohm_m(c.salinity_psu.low, c.temperature_c) /
                         *resistivity_ohm_m(standard_seawater_psu, 15)),
          thermal_mv_per_k_(*slope_mv_per_k(c.scale, water_) + hydrogen_thermal_slope_mv_per_k) {}

    double error_mv() {
        const double salinity = true_salinity_psu();
        Water real = water_;
        real.salinity_psu = {salinity, salinity};
        real.temperature_c =
            std::clamp(case_.temperature_c +
                           term(case_.assumed ? Term::temperature_assumed : Term::temperature),
                       water_temperature_limits.low, water_temperature_limits.high);
        double error = *convert_mv(0, case_.scale, Scale::agcl_seawater, real) - stated_mv_;
        error +=
            term(case_.check == CellCheck::checked ? Term::cell_checked : Term::cell_unchecked);
        error += term(Term::cell_temperature) * thermal_mv_per_k_;
        error += term(Term::electronics) + term(Term::contact) + term(Term::repeatability);
        // Resistivity goes nearly as one over salinity.
        error += term(Term::ir_drop) * freshest_drop_ * case_.salinity_psu.low / salinity;
        if (case_.scale == Scale::agcl_open) {
            error += term(Term::ageing);
            if (case_.assumed) error += term(Term::salinity_assumed);
        } else if (case_.scale != Scale::agcl_seawater) {
            error += normal(facts_of(case_.scale).standard_uncertainty_mv);
            error += normal(facts_of(Scale::agcl_seawater).standard_uncertainty_mv);
            if (has_salt_bridge(case_.scale))
                error += term(Term::junction) * junction_residual_mv(case_.salinity_psu.low);
        }
        return error;
    }

  private:
    double normal(double standard) { return std::normal_distribution(0.0, standard)(engine_); }
    double within(double half_width) {
        return std::uniform_real_distribution(-half_width, half_width)(engine_);
    }
    double term(Term which) {
        const TermValue& value = default_budget_terms().of(which);
        return value.distribution == Distribution::normal ? normal(value.value)
                                                          : within(value.value);
    }

    /// Of a range, as likely in each of its parts by ratio.
    double true_salinity_psu() {
        if (case_.assumed) return case_.salinity_psu.middle(); // its own term in mV
        if (case_.is_range())
            return std::exp(std::uniform_real_distribution(
                std::log(case_.salinity_psu.low), std::log(case_.salinity_psu.high))(engine_));
        return std::clamp(case_.salinity_psu.low * (1 + term(Term::salinity) / 100),
                          salinity_limits.low, salinity_limits.high);
    }

    const Case& case_;
    Water water_;
    std::mt19937_64 engine_;
    double stated_mv_;
    double freshest_drop_;
    double thermal_mv_per_k_;
};

/// Share of sorted errors above a distance.
double share_above(const std::vector<double>& sorted, double distance_mv) {
    const auto above = std::upper_bound(sorted.begin(), sorted.end(), distance_mv);
    return static_cast<double>(sorted.end() - above) / static_cast<double>(sorted.size());
}

double share_below(const std::vector<double>& sorted, double distance_mv) {
    const auto from = std::lower_bound(sorted.begin(), sorted.end(), distance_mv);
    return static_cast<double>(from - sorted.begin()) / static_cast<double>(sorted.size());
}

/// Largest difference between the stated probability of a limit and the share of the draws.
double worst_probability(const std::vector<double>& sorted, const Spread& spread) {
    double worst = 0;
    for (double u = -3; u <= 3; u += 0.05) {
        const double distance_mv = u * spread.standard_mv();
        worst = std::max(worst, std::abs(share_above(sorted, distance_mv) -
                                         spread.probability_beyond(distance_mv)));
    }
    return worst;
}

/// Largest share of true values outside the band over all readings that are called protected.
double worst_wrong_verdict(const std::vector<double>& sorted, double expanded_mv) {
    double worst = 0;
    for (const Band& band : bands)
        for (double reading = -1300; reading <= -300; reading += 0.5) {
            if (verdict_in(band, reading, expanded_mv) != Verdict::protected_) continue;
            double wrong = 0;
            if (band.protected_from_mv)
                wrong += share_above(sorted, *band.protected_from_mv - reading);
            if (band.over_at_mv) wrong += share_below(sorted, *band.over_at_mv - reading);
            worst = std::max(worst, wrong);
        }
    return worst;
}

} // namespace

int main(int argument_count, char** arguments) {
    if (argument_count < 2) return 2;
    const std::size_t count = std::strtoull(arguments[1], nullptr, 10);
    const std::uint64_t seed = argument_count > 2 ? std::strtoull(arguments[2], nullptr, 10) : 20;
    if (count < 1000) return 2;
    // Four standard deviations of a share that is drawn.
    const auto noise = [count](double share) {
        return 4 * std::sqrt(share * (1 - share) / static_cast<double>(count));
    };
    fmt::print("{} draws each, seed {}\n{:<30}{:>9}{:>10}{:>12}{:>13}{:>10}\n", count, seed, "",
               "U, mV", "covered", "probability", "wrong verd.", "U/needed");
    bool good = true;
    for (const Case& c : cases) {
        Draws draws(c, seed);
        std::vector<double> errors(count);
        for (double& error : errors)
            error = draws.error_mv();
        std::sort(errors.begin(), errors.end());
        const Budget budget = *reading_budget(c.scale, water_of(c), c.check);
        const double expanded_mv = budget.expanded_mv();
        const double covered =
            1 - share_above(errors, expanded_mv) - share_below(errors, -expanded_mv);
        const double off = worst_probability(errors, budget.spread());
        const double wrong = worst_wrong_verdict(errors, expanded_mv);
        // What would have been enough for 95 % about the stated value.
        std::vector<double> sizes(errors);
        for (double& size : sizes)
            size = std::abs(size);
        std::sort(sizes.begin(), sizes.end());
        const double needed_mv = sizes[static_cast<std::size_t>(0.95 * static_cast<double>(count))];
        fmt::print("{:<30}{:>9.1f}{:>9.2f}%{:>12.4f}{:>12.2f}%{:>10.2f}{}\n", c.name, expanded_mv,
                   100 * covered, off, 100 * wrong, expanded_mv / needed_mv,
                   c.is_range() ? "  a range" : "");
        good &= covered >= least_coverage - noise(least_coverage);
        good &= wrong <= most_wrong_verdicts + noise(most_wrong_verdicts);
        // Of a range the interval is meant to be wide, and its probabilities with it.
        if (!c.is_range()) good &= off <= probability_tolerance + noise(0.5);
    }
    return good ? 0 : 1;
}
