#include "judging/size_demand.h"

#include "anode/amounts.h"
#include "judging/amount.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr const char* abs_notes =
    "ABS Guidance Notes on Cathodic Protection of Ships (2017), section 2, transcribed";

Error too_little(const char* what, const char* remedy) {
    return {ErrorCode::wrong_usage, what, "", remedy};
}

/// Collects what the metal takes, and on what that stands.
class Demand {
  public:
    Demand(const SizeOptions& options, const std::optional<Boat>& boat)
        : options_(options), boat_(boat) {}

    Result<SaidDemand> all() {
        if (auto error = know_demand()) return *error;
        return said_;
    }

  private:
    using Problem = std::optional<Error>;

    Problem know_demand() {
        const bool is_said = !options_.current_initial_a.empty() ||
                             !options_.current_mean_a.empty() || !options_.current_final_a.empty();
        return is_said ? said_demand() : computed_demand();
    }

    Problem said_demand() {
        if (!options_.area_m2.empty() || options_.waterline_m)
            return too_little("currents and an area are both given", "Give the one or the other");
        struct Current {
            const std::string& typed;
            const char* option;
            Range& into;
        };
        const Current currents[] = {
            {options_.current_initial_a, "--current-initial-a", said_.current_a.initial},
            {options_.current_mean_a, "--current-mean-a", said_.current_a.mean},
            {options_.current_final_a, "--current-final-a", said_.current_a.final}};
        for (const Current& each : currents) {
            if (each.typed.empty())
                return too_little("one of the three currents is missing",
                                  "Give --current-initial-a, --current-mean-a and "
                                  "--current-final-a");
            const auto amount = amount_from(each.typed, each.option);
            if (!amount) return amount.error();
            each.into = *amount;
        }
        said_.sources.emplace_back("currents: as given");
        return {};
    }

    Problem computed_demand() {
        Range area_m2, density_ma_m2;
        BareShare bare;
        if (auto error = know_area(area_m2)) return error;
        if (auto error = know_density(density_ma_m2)) return error;
        if (auto error = know_bare(bare)) return error;
        said_.current_a = demand_of(area_m2, density_ma_m2, bare);
        return {};
    }

    Problem know_area(Range& area_m2) {
        if (!options_.area_m2.empty()) {
            if (options_.waterline_m)
                return too_little("an area and a hull's measures are both given",
                                  "Give the one or the other");
            const auto amount = amount_from(options_.area_m2, "--area-m2");
            if (!amount) return amount.error();
            area_m2 = *amount;
            if (boat_ && (boat_->hull == Hull::wood || boat_->hull == Hull::grp ||
                          boat_->hull == Hull::grp_aluminium_drive))
                said_.assumed.push_back(
                    fmt::format("{} m2 is immersed metal alone: the hull itself takes no current",
                                options_.area_m2));
            return {};
        }
        if (!options_.waterline_m || !options_.beam_m || !options_.draught_m ||
            options_.form.empty())
            return too_little("no area is given",
                              "Give --area-m2; of a metal hull also --waterline-m, --beam-m, "
                              "--draught-m and --form; or the three currents");
        return hull_area(area_m2);
    }

    Problem hull_area(Range& area_m2) {
        if (!boat_) return too_little("the hull is not known", "Say --hull steel or aluminium");
        if (boat_->hull != Hull::steel && boat_->hull != Hull::aluminium)
            return Error{ErrorCode::refused,
                         fmt::format("a {} hull takes no current: its measures would give far too "
                                     "much anode{}",
                                     name_of(boat_->hull),
                                     boat_->hull == Hull::wood ? ", which destroys the wood" : ""),
                         "", "Give the area of the immersed metal alone: --area-m2"};
        const auto form = hull_form_named(options_.form);
        if (!form) return form.error();
        const HullMeasures hull{*options_.waterline_m, *options_.beam_m, *options_.draught_m};
        if (!(hull.waterline_m > 0) || !(hull.beam_m > 0) || !(hull.draught_m > 0))
            return Error{ErrorCode::wrong_input, "a hull without length, beam or draught", "",
                         "Give metres, above zero"};
        area_m2 = exactly(wetted_area_m2(hull, *form));
        said_.sources.push_back(
            fmt::format("area: {} m2, waterline times beam and draught, times {:g} ({}): rule "
                        "of thumb, from memory",
                        amount_text(area_m2), form->share, form->says));
        return {};
    }

    Problem know_density(Range& density_ma_m2) {
        const int ways = static_cast<int>(!options_.current_density_ma_m2.empty()) +
                         static_cast<int>(options_.docking_months.has_value()) +
                         static_cast<int>(!options_.flow.empty());
        if (ways != 1)
            return too_little(ways == 0 ? "no current density is given"
                                        : "a current density is given in several ways",
                              "Give one of --current-density-ma-m2, --docking-months (a coated "
                              "hull) and --flow");
        if (!options_.current_density_ma_m2.empty()) {
            const auto amount =
                amount_from(options_.current_density_ma_m2, "--current-density-ma-m2");
            if (!amount) return amount.error();
            density_ma_m2 = *amount;
            return {};
        }
        if (options_.docking_months) {
            const auto density = docking_density_ma_m2(*options_.docking_months);
            if (!density) return density.error();
            density_ma_m2 = *density;
            whole_coating_ = true;
        } else {
            const auto flow = flow_density_named(options_.flow);
            if (!flow) return flow.error();
            density_ma_m2 = options_.coated ? flow->coated_ma_m2 : flow->bare_ma_m2;
            whole_coating_ = options_.coated;
        }
        said_.sources.push_back(
            fmt::format("current density: {} mA/m2 ({})", amount_text(density_ma_m2), abs_notes));
        return {};
    }

    Problem know_bare(BareShare& bare) {
        const bool is_typed = !options_.breakdown_initial.empty() ||
                              !options_.breakdown_mean.empty() || !options_.breakdown_final.empty();
        if (whole_coating_ && (is_typed || !options_.coating.empty()))
            return too_little("this current density is of the whole coated area already",
                              "Leave the breakdown out, or give the density of bare metal");
        if (is_typed && !options_.coating.empty())
            return too_little("the coating's breakdown is given twice",
                              "Give --coating or the three --breakdown-...");
        if (!options_.coating.empty()) {
            const auto breakdown = coating_breakdown_named(options_.coating);
            if (!breakdown) return breakdown.error();
            bare = bare_share(*breakdown, options_.coating_age_years, options_.years);
            said_.sources.push_back(
                fmt::format("coating of {} durability ({})", options_.coating, abs_notes));
        }
        if (is_typed) return said_bare(bare);
        return {};
    }

    Problem said_bare(BareShare& bare) {
        struct Share {
            const std::string& typed;
            const char* option;
            Range& into;
        };
        const Share shares[] = {{options_.breakdown_initial, "--breakdown-initial", bare.initial},
                                {options_.breakdown_mean, "--breakdown-mean", bare.mean},
                                {options_.breakdown_final, "--breakdown-final", bare.final}};
        for (const Share& each : shares) {
            if (each.typed.empty())
                return too_little("one of the three breakdowns is missing",
                                  "Give --breakdown-initial, --breakdown-mean and "
                                  "--breakdown-final, as fractions");
            const auto amount = amount_from(each.typed, each.option);
            if (!amount) return amount.error();
            if (amount->high > 1)
                return Error{ErrorCode::wrong_input, "more than all of a coating is bare",
                             each.option, "Give a fraction from 0 to 1"};
            each.into = *amount;
        }
        return {};
    }

    const SizeOptions& options_;
    const std::optional<Boat>& boat_;
    SaidDemand said_{};
    bool whole_coating_ = false;
};

} // namespace

Result<SaidDemand> demand_from(const SizeOptions& options, const std::optional<Boat>& boat) {
    return Demand(options, boat).all();
}

} // namespace quaycell
