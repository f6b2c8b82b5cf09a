#include "electrode/budget.h"

#include "base/rounding.h"
#include "electrode/chloride.h"
#include "electrode/junction.h"
#include "electrode/limits.h"
#include "electrode/salinity.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {
namespace {

constexpr double hardly_known_mv = 100; // no band of a criterion is that much wider: our judgement

Water with_chloride_at(const Water& water, double Range::*end) {
    Water edge = water;
    edge.salinity_psu = {water.salinity_psu.*end, water.salinity_psu.*end};
    if (water.chloride_mg_l)
        edge.chloride_mg_l = Range{(*water.chloride_mg_l).*end, (*water.chloride_mg_l).*end};
    return edge;
}

/// Where a meter's current counts most: about the most negative that anodes of zinc, aluminium or
/// magnesium hold a hull at in practice (our judgement).
constexpr double most_negative_mv = -1100;

/// The larger of a sensitivity at both ends of the water's range.
template <typename Sensitivity>
double larger_at_the_ends(const Water& water, const Sensitivity& sensitivity) {
    return std::max(std::abs(sensitivity(with_chloride_at(water, &Range::low))),
                    std::abs(sensitivity(with_chloride_at(water, &Range::high))));
}

/// How far the chloride correction may lie from that of the middle of the water's range, [mV].
double salinity_spread_mv(const Water& water) {
    const double middle_mv = *chloride_correction_mv(water);
    return larger_at_the_ends(
        water, [&](const Water& edge) { return *chloride_correction_mv(edge) - middle_mv; });
}

/// Change of a bare element's potential for a percent of chloride, [mV/%].
double chloride_sensitivity_mv(const Water& water) {
    return larger_at_the_ends(water, [](const Water& edge) {
        constexpr double share = 0.01; // one percent either way: straight as far as it matters
        const Chloride here = *chloride_of(edge);
        const auto element_mv = [&](double factor) {
            return *open_element_vs_she_mv({here.molality * factor, here.ionic_strength * factor},
                                           edge.temperature_c);
        };
        return (element_mv(1 - share) - element_mv(1 + share)) / 2;
    });
}

/// Change of the potential on `to` for a kelvin of the water's temperature, [mV/K].
double temperature_sensitivity_mv(Scale from, Scale to, const Water& water) {
    return larger_at_the_ends(water, [&](const Water& edge) {
        return *slope_mv_per_k(from, edge) - *slope_mv_per_k(to, edge);
    });
}

/// Where the resistance of the water and the junction of a salt bridge are largest, [PSU].
double freshest_psu(const Water& water) {
    return salinity_range_of(water).value().low;
}

double resistivity_over_sea_water(const Water& water) {
    return *resistivity_ohm_m(freshest_psu(water), water.temperature_c) /
           *resistivity_ohm_m(standard_seawater_psu, 15);
}

/// Collects the lines of a budget from the values of its terms.
class Collector {
  public:
    Collector(const Water& water, const BudgetTerms& terms) : water_(water), terms_(terms) {}

    void add(Term term, std::string name, double sensitivity) {
        const TermValue& value = terms_.of(term);
        budget_.lines.push_back({std::move(name), value.value, std::string(unit_of(term)),
                                 value.distribution, value.kind, sensitivity, value.source});
    }

    /// A range of the water counts where it is wider than what the water is known to at best.
    void add_salinity() {
        if (water_.salinity_assumed)
            add(Term::salinity_assumed, "salinity of the water, assumed", 1);
        else
            add(Term::salinity, "salinity of the water", chloride_sensitivity_mv(water_));
        const BudgetLine range{"range of the water's salinity",
                               salinity_spread_mv(water_),
                               "mV",
                               Distribution::rectangular,
                               ErrorKind::systematic,
                               1,
                               "chloride model, from the middle to the farther end: computed"};
        if (range.standard_mv() > budget_.lines.back().standard_mv()) budget_.lines.back() = range;
    }

    void add_electronics(const std::optional<Meter>& meter) {
        if (meter)
            std::visit([this](const auto& each) { add_meter(each); }, *meter);
        else
            add(Term::electronics, "electronics", 1);
    }

    void add_meter(const StatedMeter& meter) {
        if (meter.accuracy_mv)
            budget_.lines.push_back({"meter", *meter.accuracy_mv, "mV", Distribution::rectangular,
                                     ErrorKind::systematic, 1, "as stated by who read it"});
        else
            add(Term::electronics, "meter of unstated accuracy, as electronics", 1);
        budget_.lines.push_back(
            {"current into the meter",
             loading_mv(most_negative_mv, meter.input_mohm, meter.source_kohm), "mV",
             Distribution::rectangular, ErrorKind::systematic, 1,
             fmt::format("{:g} Mohm of the meter as stated, behind {:g} kohm of cell and lead, at "
                         "{:.0f} mV: computed",
                         meter.input_mohm, meter.source_kohm, most_negative_mv)});
    }

    void add_meter(const CalibratedMeter& meter) {
        if (meter.two_temperatures)
            add(Term::electronics_two_temperatures, "electronics, by two temperatures", 1);
        else
            add(Term::electronics_one_temperature, "electronics, by one temperature", 1);
        budget_.lines.push_back({"instrument of the calibration",
                                 meter.instrument_expanded_mv / coverage_factor, "mV",
                                 Distribution::normal, ErrorKind::systematic, 1,
                                 "as stated when the logger was calibrated"});
    }

    void add_ir_drop() {
        add(Term::ir_drop, "voltage drop in the water", resistivity_over_sea_water(water_));
        budget_.lines.back().comes_with_current = true;
        const TermValue& salinity = terms_.of(Term::salinity);
        if (!water_.salinity_assumed && salinity.distribution == Distribution::rectangular)
            budget_.lines.back().divided_within = salinity.value / 100;
    }

    void add_temperature(Scale from, Scale to) {
        const double sensitivity = temperature_sensitivity_mv(from, to, water_);
        if (water_.temperature_assumed)
            add(Term::temperature_assumed, "water temperature, assumed", sensitivity);
        else
            add(Term::temperature, "water temperature", sensitivity);
    }

    /// The scales' own uncertainty and their junctions, unless both are elements in sea water.
    void add_scales(Scale from, Scale to) {
        const auto is_water_element = [](Scale scale) {
            return scale == Scale::agcl_open || scale == Scale::agcl_seawater;
        };
        if (is_water_element(from) && is_water_element(to)) return;
        const double junction_mv = junction_residual_mv(freshest_psu(water_));
        for (const Scale scale : {from, to}) {
            add_scale(facts_of(scale));
            if (has_salt_bridge(scale)) add(Term::junction, "junction of the cell", junction_mv);
        }
    }

    Budget budget() && { return std::move(budget_); }

  private:
    void add_scale(const ScaleFacts& facts) {
        if (facts.standard_uncertainty_mv == 0) return;
        budget_.lines.push_back(
            {fmt::format("potential of the scale {}", facts.name), facts.standard_uncertainty_mv,
             "mV", Distribution::normal, ErrorKind::systematic, 1,
             fmt::format("scatter of published values: {} (our judgement)", facts.source)});
    }

    const Water& water_;
    const BudgetTerms& terms_;
    Budget budget_;
};

} // namespace

double BudgetLine::standard_mv() const {
    const double mv = value * std::abs(sensitivity);
    return distribution == Distribution::rectangular
               ? Spread(0, {RectangularError(mv, divided_within)}).standard_mv()
               : mv;
}

double loading_mv(double potential_mv, double input_mohm, double source_kohm) {
    constexpr double kohm_per_mohm = 1000;
    return std::abs(potential_mv) * source_kohm / (input_mohm * kohm_per_mohm + source_kohm);
}

double Budget::expanded_mv() const {
    return spread().expanded_mv();
}

Spread Budget::spread() const {
    double normal_variance = 0;
    std::vector<RectangularError> rectangles;
    for (const BudgetLine& line : lines)
        if (line.distribution == Distribution::normal)
            normal_variance += line.standard_mv() * line.standard_mv();
        else
            rectangles.emplace_back(line.value * std::abs(line.sensitivity), line.divided_within);
    return {std::sqrt(normal_variance), std::move(rectangles)};
}

Budget Budget::of_mean(double readings) const {
    Budget mean = *this;
    for (BudgetLine& line : mean.lines)
        if (line.kind == ErrorKind::random) line.value /= std::sqrt(readings);
    return mean;
}

double Budget::change_expanded_mv() const {
    double variance = 0;
    for (const BudgetLine& line : lines) {
        const double times = line.kind == ErrorKind::random ? 2 : line.comes_with_current ? 1 : 0;
        variance += times * line.standard_mv() * line.standard_mv();
    }
    return coverage_factor * std::sqrt(variance);
}

std::string uncertainty_text(double expanded_mv) {
    return fmt::format("{}within {} mV (k = 2)",
                       expanded_mv > hardly_known_mv ? "hardly known, perhaps " : "",
                       rounded_text(expanded_mv, told_decimals_mv(expanded_mv)));
}

Result<Budget> reading_budget(Scale reading_scale, const Water& water, CellCheck check,
                              const BudgetTerms& terms, const std::optional<Meter>& meter,
                              Scale shown_on) {
    if (const Result<Done> known = check_water(water); !known) return known.error();
    Collector lines(water, terms);
    if (check == CellCheck::checked)
        lines.add(Term::cell_checked, "cell, compared with another", 1);
    else
        lines.add(Term::cell_unchecked, "cell, not compared", 1);
    if (reading_scale == Scale::agcl_open) lines.add(Term::ageing, "ageing of the bare element", 1);
    // Of two bare elements in the same water the chloride moves both alike.
    if ((reading_scale == Scale::agcl_open) != (shown_on == Scale::agcl_open)) lines.add_salinity();
    lines.add_temperature(reading_scale, shown_on);
    lines.add(Term::cell_temperature, "cell not as warm as the water",
              larger_at_the_ends(water, [&](const Water& edge) {
                  return *slope_mv_per_k(reading_scale, edge) + hydrogen_thermal_slope_mv_per_k;
              }));
    lines.add_electronics(meter);
    lines.add(Term::contact, "contact", 1);
    lines.add_ir_drop();
    lines.add(Term::repeatability, "repeatability", 1);
    if (reading_scale != shown_on) lines.add_scales(reading_scale, shown_on);
    return std::move(lines).budget();
}

Result<Budget> conversion_budget(Scale from, Scale to, const Water& water,
                                 const BudgetTerms& terms) {
    if (const Result<Done> checked = check_water(water); !checked) return checked.error();
    Collector lines(water, terms);
    if (from == to) return std::move(lines).budget();
    if (from == Scale::agcl_open || to == Scale::agcl_open) {
        lines.add(Term::ageing, "ageing of the bare element", 1);
        lines.add_salinity();
    }
    lines.add_temperature(from, to);
    lines.add_scales(from, to);
    return std::move(lines).budget();
}

} // namespace quaycell
