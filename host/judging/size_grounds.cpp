#include "judging/size_grounds.h"

#include "anode/choice.h"
#include "electrode/presets.h"
#include "electrode/salinity.h"
#include "judging/amount.h"
#include "judging/size_demand.h"
#include "protection/rules.h"

#include <fmt/format.h>

namespace quaycell {

namespace {

/// What a steel hull is to be brought to by design: DNV-RP-B401, transcribed. [mV]
constexpr double design_potential_mv = -800;

/// Collects what a sizing stands on.
class Gathering {
  public:
    explicit Gathering(const SizeOptions& options) : options_(options) {}

    Result<SizingGrounds> all() {
        const auto alloy = alloy_named(options_.alloy);
        if (!alloy) return alloy.error();
        grounds_.alloy = *alloy;
        for (const auto step :
             {&Gathering::know_boat, &Gathering::know_demand, &Gathering::know_anode,
              &Gathering::know_water, &Gathering::know_driving, &Gathering::beware})
            if (auto error = (this->*step)()) return *error;
        return grounds_;
    }

  private:
    using Problem = std::optional<Error>;

    /// A boat is only needed for what depends on it.
    Problem know_boat() {
        if (options_.boat.hull.empty() && !options_.boat.vessel_file.is_given()) return {};
        BoatOptions with_scale = options_.boat;
        if (with_scale.scale.empty()) with_scale.scale = name_of(Scale::agcl_seawater);
        auto boat = boat_from(with_scale);
        if (!boat) return boat.error();
        boat_ = std::move(boat).value();
        return {};
    }

    Problem know_demand() {
        auto said = demand_from(options_, boat_);
        if (!said) return said.error();
        grounds_.demand = said->current_a;
        grounds_.sources = std::move(said->sources);
        grounds_.assumed = std::move(said->assumed);
        return {};
    }

    Problem know_anode() {
        const auto mounting = mounting_named(options_.shape);
        if (!mounting) return mounting.error();
        const AlloyFacts& facts = facts_of(grounds_.alloy);
        AnodeUse& use = grounds_.use;
        use.years = options_.years;
        use.mass_kg = options_.mass_kg;
        use.density_kg_m3 = facts.density_kg_m3;
        use.shape = {*mounting, options_.length_m, options_.width_m, options_.thickness_m};
        use.capacity_ah_kg = facts.capacity_ah_kg;
        if (!options_.capacity_ah_kg.empty()) {
            const auto amount = amount_from(options_.capacity_ah_kg, "--capacity-ah-kg");
            if (!amount) return amount.error();
            use.capacity_ah_kg = *amount;
            if (amount->high > facts.faraday_ah_kg)
                return Error{ErrorCode::wrong_input,
                             fmt::format("no {} delivers {:g} Ah/kg: all of it dissolving for the "
                                         "current would give {:g}",
                                         facts.name, amount->high, facts.faraday_ah_kg),
                             "--capacity-ah-kg", "Look at the alloy again"};
        } else {
            grounds_.sources.push_back(fmt::format("capacity: {} Ah/kg ({}; {})",
                                                   amount_text(use.capacity_ah_kg),
                                                   facts.capacity_source, facts.status));
        }
        use.utilisation = options_.utilisation.value_or(utilisation_of(form_of(use.shape)));
        if (!options_.utilisation)
            grounds_.sources.push_back(fmt::format("utilisation: {:g} of a {} "
                                                   "(DNV-RP-B401 T8-8, transcribed)",
                                                   use.utilisation, name_of(form_of(use.shape))));
        grounds_.sources.push_back(
            fmt::format("resistance: {} (DNV-RP-B401 T10-7 of 2010, transcribed)",
                        name_of(form_of(use.shape))));
        return {};
    }

    Problem know_water() {
        if (!options_.resistivity_ohm_m.empty()) {
            const auto amount = amount_from(options_.resistivity_ohm_m, "--resistivity-ohm-m");
            if (!amount) return amount.error();
            grounds_.use.resistivity_ohm_m = *amount;
            constexpr double warm_c = 15;
            const auto high = salinity_from_resistivity(amount->low, warm_c);
            const auto low = salinity_from_resistivity(amount->high, warm_c);
            if (low && high) salinity_psu_ = Range{*low, *high};
            return {};
        }
        const auto water = boat_ ? Result<Water>(boat_->water) : water_from(options_.boat.water);
        if (!water) return water.error();
        const auto high =
            quaycell::resistivity_ohm_m(water->salinity_psu.low, water->temperature_c);
        const auto low =
            quaycell::resistivity_ohm_m(water->salinity_psu.high, water->temperature_c);
        if (!high) return high.error();
        if (!low) return low.error();
        grounds_.use.resistivity_ohm_m = {*low, *high};
        salinity_psu_ = water->salinity_psu;
        for (const std::string& each : water->assumed)
            grounds_.assumed.push_back(each);
        grounds_.sources.push_back(fmt::format("resistivity: {} ohm m, of this water (PSS-78)",
                                               amount_text(grounds_.use.resistivity_ohm_m)));
        return {};
    }

    /// Between the anode at work and the metal brought to the least negative end of its band.
    Problem know_driving() {
        if (!options_.driving_mv.empty()) {
            const auto amount = amount_from(options_.driving_mv, "--driving-mv");
            if (!amount) return amount.error();
            grounds_.use.driving_mv = *amount;
            return {};
        }
        const auto target_mv = target_of_hull();
        if (!target_mv) return target_mv.error();
        const AlloyFacts& facts = facts_of(grounds_.alloy);
        grounds_.use.driving_mv = {*target_mv - facts.closed_circuit_mv.high,
                                   *target_mv - facts.closed_circuit_mv.low};
        grounds_.sources.push_back(
            fmt::format("driving voltage: {} mV, from {:.0f} mV to {} at work ({}; {})",
                        amount_text(grounds_.use.driving_mv), *target_mv, facts.name,
                        facts.potential_source, facts.status));
        return {};
    }

    Result<double> target_of_hull() {
        if (boat_) {
            const auto rules = rules_of(*boat_);
            if (!rules) return rules.error();
            for (const Rule& rule : rules->rules)
                if (rule.decides && rule.band.protected_from_mv && !rules->no_verdict)
                    return *rule.band.protected_from_mv;
        }
        grounds_.assumed.push_back(
            fmt::format("the metal is to be brought to {:.0f} mV on agcl/seawater, as steel",
                        design_potential_mv));
        return design_potential_mv;
    }

    /// Of the tables: whoever types a density knows where it is from.
    void beware_of_density() {
        if (options_.flow.empty() && !options_.docking_months) return;
        if (salinity_psu_->low >= sea_from_psu) return;
        grounds_.warnings.push_back(
            salinity_psu_->low < fresh_below_psu
                ? std::string("the current density is that of steel in sea water, and nobody "
                              "publishes one for boats in fresh water: the numbers say little "
                              "there. Measure after fitting, or type a density "
                              "(--current-density-ma-m2)")
                : std::string("the current density is that of steel in sea water; for brackish "
                              "water designers take twice as much (Aromaa, Pehkonen and Forsen "
                              "2006, abstract read)"));
    }

    Problem beware() {
        if (boat_ && boat_->hull == Hull::wood) grounds_.warnings.emplace_back(wood_caution);
        if (!salinity_psu_) return {};
        beware_of_density();
        const AnodeSetting setting{boat_ ? boat_->hull : Hull::steel,
                                   boat_ ? boat_->metals : std::vector<std::string>{},
                                   *salinity_psu_};
        for (const AlloyChoice& choice : choose_alloy(setting, {})) {
            if (choice.alloy != grounds_.alloy || choice.fitness < Fitness::useless) continue;
            for (const AlloyReason* reason : choice.reasons)
                if (reason->fitness >= Fitness::useless)
                    grounds_.warnings.push_back(
                        fmt::format("{}: {}", name_of(grounds_.alloy), reason->text));
        }
        if (!is_dangerous(grounds_.alloy, setting) || options_.insist) return {};
        return Error{ErrorCode::refused,
                     fmt::format("{} is dangerous to this boat in this water: {}",
                                 name_of(grounds_.alloy),
                                 fmt::format("{}", grounds_.warnings.back())),
                     "",
                     "Take another alloy (quaycell anodes choose). To see the numbers all the "
                     "same: --insist"};
    }

    const SizeOptions& options_;
    SizingGrounds grounds_{};
    std::optional<Boat> boat_;
    std::optional<Range> salinity_psu_;
};

} // namespace

Result<SizingGrounds> sizing_grounds(const SizeOptions& options) {
    return Gathering(options).all();
}

} // namespace quaycell
