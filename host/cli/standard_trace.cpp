#include "cli/trace_source.h"

#include "electrode/budget.h"
#include "protection/standard_potential.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace quaycell {

namespace {

/// What a reading known to be wrong is excluded for.
struct Exclusion {
    Quality quality;
    const char* why;
};
constexpr std::array<Exclusion, 6> exclusions{{
    {Quality::saturated, "beyond the converter's range"},
    {Quality::converter_fault, "the converter did not answer"},
    {Quality::unsettled, "taken before the input had settled"},
    {Quality::uncalibrated, "the logger is not calibrated"},
    {Quality::lead_not_good, "open lead, dry cell or the hull's clip off"},
    {Quality::lead_doubtful, "open lead, dry cell or the hull's clip off at the next look"},
}};

constexpr double from_the_boat = -1; ///< no salinity in the trace at this reading

Water measured_water(Water water, double temperature_c, double salinity_psu) {
    water.temperature_c = temperature_c;
    if (salinity_psu != from_the_boat) {
        water.salinity_psu = {salinity_psu, salinity_psu};
        water.chloride_mg_l.reset();
        water.salinity_assumed = false;
    }
    return water;
}

/// Offset to agcl/seawater and uncertainty by (temperature, salinity). A thermistor's codes are
/// few, so that a week of readings needs a few hundred evaluations of the model.
class Corrections {
  public:
    struct Correction {
        ByConstants offset_mv = missing_value;
        double expanded_uncertainty_mv = missing_value;
    };

    Corrections(const Boat& boat, CellCheck check) : boat_(boat), check_(check) {}

    /// Missing values where the model does not reach; the first reason is kept.
    const Correction& at(double temperature_c, double salinity_psu) {
        const auto [place, is_new] = known_.try_emplace({temperature_c, salinity_psu});
        if (is_new) place->second = compute(temperature_c, salinity_psu);
        return place->second;
    }

    const std::optional<Error>& error() const { return error_; }

  private:
    Correction compute(double temperature_c, double salinity_psu) {
        const Water water = measured_water(boat_.water, temperature_c, salinity_psu);
        const auto offset = standard_offset(boat_.cell_scale, water);
        if (!offset) return outside(offset.error());
        const auto budget =
            reading_budget(boat_.cell_scale, water, check_, boat_.budget_terms, boat_.meter);
        if (!budget) return outside(budget.error());
        return {offset->offset_mv, budget->expanded_mv()};
    }

    Correction outside(const Error& error) {
        if (!error_) error_ = error;
        return {};
    }

    const Boat& boat_;
    CellCheck check_;
    std::map<std::pair<double, double>, Correction> known_;
    std::optional<Error> error_;
};

double field(const std::vector<double>& column, std::size_t row, double otherwise) {
    return column.empty() || std::isnan(column[row]) ? otherwise : column[row];
}

/// Temperature and salinity of the readings, as far as they count.
class WaterColumns {
  public:
    WaterColumns(const Trace& trace, const Boat& boat, const WaterOptions& said)
        : temperature_c_(said.temperature_c ? none_ : trace.temperature_c),
          salinity_psu_(names_water(said) ? none_ : trace.salinity_psu),
          boat_temperature_c_(boat.water.temperature_c) {}

    double temperature_c(std::size_t row) const {
        return field(temperature_c_, row, boat_temperature_c_);
    }
    double salinity_psu(std::size_t row) const { return field(salinity_psu_, row, from_the_boat); }

  private:
    const std::vector<double> none_;
    const std::vector<double>& temperature_c_;
    const std::vector<double>& salinity_psu_;
    double boat_temperature_c_;
};

} // namespace

Water water_of_reading(const Trace& trace, std::size_t row, const Boat& boat,
                       const WaterOptions& said) {
    const WaterColumns columns(trace, boat, said);
    return measured_water(boat.water, columns.temperature_c(row), columns.salinity_psu(row));
}

StandardTrace on_standard_scale(const Trace& trace, const Boat& boat, const WaterOptions& said) {
    const std::size_t count = trace.time.size();
    StandardTrace result{std::vector<ByConstants>(count, missing_value),
                         std::vector<double>(count, missing_value),
                         {}};
    if (count == 0) return result;

    const WaterColumns water(trace, boat, said);
    Corrections corrections(boat, cell_check_of(boat, trace.time.front(), trace.time.back()));
    std::array<std::size_t, exclusions.size()> excluded{};
    for (std::size_t row = 0; row < count; ++row) {
        const auto reason = std::ranges::find_if(exclusions, [&](const Exclusion& exclusion) {
            return !trace.quality.empty() && has(trace.quality[row], exclusion.quality);
        });
        if (reason != exclusions.end()) {
            ++excluded[static_cast<std::size_t>(reason - exclusions.begin())];
            continue;
        }
        const auto& correction = corrections.at(water.temperature_c(row), water.salinity_psu(row));
        result.standard_mv[row] = trace.potential_mv[row] + correction.offset_mv;
        result.expanded_uncertainty_mv[row] = correction.expanded_uncertainty_mv;
    }

    for (std::size_t i = 0; i < exclusions.size(); ++i)
        if (excluded[i] != 0)
            result.reasons.push_back(
                fmt::format("{} readings have no verdict: {}", excluded[i], exclusions[i].why));
    if (corrections.error())
        result.reasons.push_back("some readings have no verdict: " + corrections.error()->what);
    return result;
}

} // namespace quaycell
