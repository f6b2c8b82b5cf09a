#include "judging/trace_source.h"

#include "electrode/budget.h"
#include "protection/standard_potential.h"

#include <algorithm>
#include <array>
#include <bit>
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
/// few, so that a year of readings needs a few thousand evaluations of the model.
class Corrections {
  public:
    struct Correction {
        ByConstants offset_mv = missing_value;
        double expanded_uncertainty_mv = missing_value;
    };

    Corrections(const Boat& boat, CellCheck check) : boat_(boat), check_(check) {}

    /// Missing values where the model does not reach; the first reason is kept.
    const Correction& at(double temperature_c, double salinity_psu) {
        const Key key{temperature_c, salinity_psu};
        Recent& recent = recent_.at(place_of(key));
        if (recent.correction == nullptr || recent.key != key) {
            const auto [place, is_new] = known_.try_emplace(key);
            if (is_new) place->second = compute(temperature_c, salinity_psu);
            recent = {key, &place->second};
        }
        return *recent.correction;
    }

    const std::optional<Error>& error() const { return error_; }

  private:
    using Key = std::pair<double, double>;
    /// What was asked for last among those that share a place.
    struct Recent {
        Key key{};
        const Correction* correction = nullptr;
    };
    static constexpr std::size_t places = 4096;

    static std::size_t place_of(const Key& key) {
        constexpr std::uint64_t spread = 0x9E3779B97F4A7C15; // 2^64 by the golden ratio
        const auto bits = std::bit_cast<std::uint64_t>(key.first) * spread ^
                          std::bit_cast<std::uint64_t>(key.second);
        return static_cast<std::size_t>(bits * spread >> 52U);
    }

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

    Boat boat_;
    CellCheck check_;
    std::map<Key, Correction> known_;
    std::array<Recent, places> recent_{};
    std::optional<Error> error_;
};

/// Temperature and salinity of the readings of one piece, as far as they count.
class WaterColumns {
  public:
    WaterColumns(const Readings& trace, const Boat& boat, const WaterOptions& said)
        : temperature_c_(said.temperature_c ? Column<double>() : trace.temperature_c),
          salinity_psu_(names_water(said) ? Column<double>() : trace.salinity_psu),
          boat_temperature_c_(boat.water.temperature_c) {}

    void read(std::size_t first, std::size_t count) {
        read(temperature_c_, first, count, boat_temperature_c_, temperature_piece_);
        read(salinity_psu_, first, count, from_the_boat, salinity_piece_);
    }

    // By place in the piece.
    double temperature_c(std::size_t i) const { return temperature_piece_[i]; }
    double salinity_psu(std::size_t i) const { return salinity_piece_[i]; }
    bool are_alike(std::size_t i, std::size_t j) const {
        return temperature_piece_[i] == temperature_piece_[j] &&
               salinity_piece_[i] == salinity_piece_[j];
    }

  private:
    using Piece = std::array<double, column_piece>;

    static void read(const Column<double>& column, std::size_t first, std::size_t count,
                     double otherwise, Piece& piece) {
        const auto values = std::span(piece).first(count);
        if (column.empty()) {
            std::ranges::fill(values, otherwise);
            return;
        }
        column.read(first, values);
        for (double& value : values)
            if (std::isnan(value)) value = otherwise;
    }

    Column<double> temperature_c_;
    Column<double> salinity_psu_;
    double boat_temperature_c_;
    Piece temperature_piece_{};
    Piece salinity_piece_{};
};

constexpr Quality excluded_for = Quality::saturated | Quality::converter_fault |
                                 Quality::unsettled | Quality::uncalibrated |
                                 Quality::lead_not_good | Quality::lead_doubtful;

/// Potentials and uncertainties of one piece after another: whoever asks for one asks for the other
/// next.
class StandardPieces {
  public:
    StandardPieces(const Readings& trace, WaterColumns water,
                   std::shared_ptr<Corrections> corrections)
        : quality_(trace.quality), potential_mv_(trace.potential_mv), water_(std::move(water)),
          corrections_(std::move(corrections)) {}

    std::span<const ByConstants> standard_mv(std::size_t first, std::size_t count) {
        make(first, count);
        return std::span(standard_mv_).first(count);
    }
    std::span<const double> expanded_uncertainty_mv(std::size_t first, std::size_t count) {
        make(first, count);
        return std::span(expanded_uncertainty_mv_).first(count);
    }

  private:
    void make(std::size_t first, std::size_t count) {
        if (made_ && first == first_ && count == count_) return;
        made_ = true;
        first_ = first;
        count_ = count;
        std::ranges::fill(quality_piece_, Quality::good);
        if (!quality_.empty()) quality_.read(first, std::span(quality_piece_).first(count));
        potential_mv_.read(first, std::span(potential_piece_).first(count));
        water_.read(first, count);
        for (std::size_t i = 0; i < count;) {
            if (has(quality_piece_[i], excluded_for)) {
                standard_mv_[i] = missing_value;
                expanded_uncertainty_mv_[i] = missing_value;
                ++i;
                continue;
            }
            const Corrections::Correction& correction =
                corrections_->at(water_.temperature_c(i), water_.salinity_psu(i));
            const std::size_t alike = i;
            for (; i < count && water_.are_alike(i, alike) && !has(quality_piece_[i], excluded_for);
                 ++i) {
                standard_mv_[i] = potential_piece_[i] + correction.offset_mv;
                expanded_uncertainty_mv_[i] = correction.expanded_uncertainty_mv;
            }
        }
    }

    Column<Quality> quality_;
    Column<double> potential_mv_;
    WaterColumns water_;
    std::shared_ptr<Corrections> corrections_;
    std::array<Quality, column_piece> quality_piece_{};
    std::array<double, column_piece> potential_piece_{};
    std::vector<ByConstants> standard_mv_ = std::vector<ByConstants>(column_piece, missing_value);
    std::array<double, column_piece> expanded_uncertainty_mv_{};
    bool made_ = false;
    std::size_t first_ = 0;
    std::size_t count_ = 0;
};

std::vector<std::string> why_excluded(const Column<Quality>& quality) {
    std::array<std::size_t, exclusions.size()> excluded{};
    for (std::size_t row = 0; row < quality.size(); ++row) {
        const Quality each = quality[row];
        if (!has(each, excluded_for)) continue;
        const auto reason = std::ranges::find_if(
            exclusions, [each](const Exclusion& one) { return has(each, one.quality); });
        ++excluded.at(static_cast<std::size_t>(reason - exclusions.begin()));
    }
    std::vector<std::string> reasons;
    for (std::size_t i = 0; i < exclusions.size(); ++i)
        if (excluded[i] != 0)
            reasons.push_back(
                fmt::format("{} readings have no verdict: {}", excluded[i], exclusions[i].why));
    return reasons;
}

} // namespace

Water water_of_reading(const Readings& trace, std::size_t row, const Boat& boat,
                       const WaterOptions& said) {
    WaterColumns columns(trace, boat, said);
    columns.read(row, 1);
    return measured_water(boat.water, columns.temperature_c(0), columns.salinity_psu(0));
}

StandardTrace on_standard_scale(const Readings& trace, const Boat& boat, const WaterOptions& said) {
    if (trace.time.empty()) return {};
    const auto corrections = std::make_shared<Corrections>(
        boat, cell_check_of(boat, trace.time.front(), trace.time.back()));
    const auto pieces =
        std::make_shared<StandardPieces>(trace, WaterColumns(trace, boat, said), corrections);
    StandardTrace result;
    result.standard_mv = {
        trace.time.size(), [pieces](std::size_t first, std::span<ByConstants> out) {
            std::ranges::copy(pieces->standard_mv(first, out.size()), out.begin());
        }};
    result.expanded_uncertainty_mv = {
        trace.time.size(), [pieces](std::size_t first, std::span<double> out) {
            std::ranges::copy(pieces->expanded_uncertainty_mv(first, out.size()), out.begin());
        }};
    result.reasons = [quality = trace.quality, corrections] {
        std::vector<std::string> reasons = why_excluded(quality);
        if (corrections->error())
            reasons.push_back("some readings have no verdict: " + corrections->error()->what);
        return reasons;
    };
    return result;
}

} // namespace quaycell
