// quaycell anodes wear: how fast they waste, and until when they last.
#include "archive/archive.h"
#include "base/rounding.h"
#include "chart/render_pdf.h"
#include "chart/render_png.h"
#include "chart/render_svg.h"
#include "chart/text_width.h"
#include "chart/told.h"
#include "cli/anodes.h"
#include "diagnosis/anode_words.h"
#include "judging/amount.h"
#include "judging/anode_log.h"
#include "judging/archive_contents.h"
#include "judging/author.h"
#include "judging/files.h"
#include "judging/json_text.h"
#include "judging/wear_figure.h"
#include "judging/wear_json.h"

#include <algorithm>
#include <boost/json.hpp>
#include <CLI/CLI.hpp>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

namespace json = boost::json;

constexpr double highest_price = 1e9; ///< in whatever currency

struct Options {
    std::string archive;
    std::string boat;
    std::string place;
    std::vector<std::string> haul_outs;
    double renew_at_percent_gone = 100 * usually_renewed_at_gone;
    std::string demand_a;
    std::optional<double> anode_price;
    std::optional<double> haul_out_price;
    std::string output;
    bool as_json = false;
};

/// An anode with what its weighings come to.
struct Worn {
    LoggedAnode logged;
    Result<Wear> wear; ///< an error where nothing is known since it was fitted
};

struct HaulOut {
    Instant at;
    std::string typed;
};

/// What is asked of the log, read and checked.
struct Asked {
    const Options& options;
    std::vector<HaulOut> haul_outs;
    std::optional<Range> demand_a;
    Instant now;
};

/// What the stated demand would have used since the fitting, against what is gone: of an anode that
/// carries all of it.
Range used_kg(const FittedAnode& anode, Range demand_a) {
    return mass_used_kg(demand_a, days_between(anode.fitted, anode.seen.back().at), anode.alloy);
}

std::string charge_text(const FittedAnode& anode, Range demand_a) {
    const AnodeMassSeen& last = anode.seen.back();
    return fmt::format(
        "  {} A would have used {} kg by {}, {:g} kg are gone: an estimate, weak because nobody "
        "measured the\n  current, the anodes share it, and the dock may take some\n",
        amount_text(demand_a), amount_text(used_kg(anode, demand_a), 2), day_text(last.at),
        anode.new_mass_kg - last.mass_kg);
}

/// What renewing today costs, against coming out once more for its sake.
std::optional<RenewalCost> cost_of(const Wear& wear, const Asked& asked) {
    const Options& options = asked.options;
    if (!options.anode_price || !options.haul_out_price) return std::nullopt;
    return cost_of_renewing_now(wear.line_kg_at(asked.now) / wear.new_mass_kg,
                                options.renew_at_percent_gone / 100, *options.anode_price,
                                *options.haul_out_price);
}

/// What to do about it, where a haul-out is due anyway and where none is planned.
std::string renewal_words(const Wear& wear, const RenewalCost& cost,
                          const std::vector<HaulOut>& haul_outs) {
    if (!haul_outs.empty() && lasts_until(wear, haul_outs.front().at) == Lasting::yes)
        return fmt::format("leave it to the haul-out of {}, which is due anyway",
                           haul_outs.front().typed);
    return cost.now_is_cheaper ? "renewing it while she is out is cheaper than coming out for it"
                               : "coming out for it later is cheaper";
}

void print_json(const std::vector<Worn>& worn, const Asked& asked) {
    json::array anodes;
    for (const auto& [logged, wear] : worn) {
        const FittedAnode& anode = logged.anode;
        json::object entry{{"boat", logged.boat},
                           {"place", anode.place},
                           {"alloy", name_of(anode.alloy)},
                           {"new_mass_kg", anode.new_mass_kg},
                           {"fitted", to_text(anode.fitted)},
                           {"weighings", anode.seen.size()}};
        if (wear) {
            for (const auto& [key, value] : wear_json(*wear, anode.alloy, asked.now))
                entry[key] = value;
            if (asked.demand_a && !anode.seen.empty())
                entry["demand_would_have_used_kg"] = amount_json(used_kg(anode, *asked.demand_a));
            json::array plans;
            for (const HaulOut& each : asked.haul_outs)
                plans.push_back({{"at", to_text(each.at)},
                                 {"lasts", name_of(lasts_until(*wear, each.at))},
                                 {"share_left", amount_json(wear->share_left_at(each.at))}});
            entry["haul_outs"] = plans;
            if (const auto cost = cost_of(*wear, asked))
                entry["renewing_now"] = {{"thrown_away", cost->thrown_away},
                                         {"extra_haul_out", cost->extra_haul_out},
                                         {"is_cheaper", cost->now_is_cheaper}};
        } else {
            entry["why_not"] = wear.error().what;
        }
        anodes.push_back(entry);
    }
    std::cout << to_document({{"anodes", anodes},
                              {"renew_at_percent_gone", asked.options.renew_at_percent_gone},
                              {"at", to_text(asked.now)}});
}

void print_words(const Worn& worn, const Asked& asked) {
    const FittedAnode& anode = worn.logged.anode;
    std::cout << fmt::format("{}{}{}: {}, {:g} kg new, fitted {}\n", worn.logged.boat,
                             worn.logged.boat.empty() ? "" : ", ", anode.place,
                             name_of(anode.alloy), anode.new_mass_kg, day_text(anode.fitted));
    if (!worn.wear) {
        std::cout << fmt::format("  {}. {}\n", worn.wear.error().what, worn.wear.error().remedy);
        return;
    }
    const Wear& wear = *worn.wear;
    const Range left = wear.share_left_at(asked.now);
    if (wear.gone_by)
        std::cout << fmt::format("  nothing left; it wasted at least {} g a day",
                                 significant_text(wear.rate_g_day.low, 2));
    else
        std::cout << fmt::format("  {:.0f} to {:.0f} % left today; wastes {} g a day ({} to {})",
                                 100 * left.low, 100 * left.high,
                                 told(wear.rate_middle_g_day, wear.rate_g_day.half_width()),
                                 told(wear.rate_g_day.low, wear.rate_g_day.half_width()),
                                 told(wear.rate_g_day.high, wear.rate_g_day.half_width()));
    if (wear.is_wasting)
        std::cout << fmt::format(", as at a mean current of {} A",
                                 amount_text(current_of_wear_a(wear.rate_g_day, anode.alloy), 2));
    std::cout << fmt::format("\n  {}\n",
                             due_text(wear, asked.options.renew_at_percent_gone / 100, asked.now));
    if (!wear.is_wasting)
        std::cout << "  nothing shows that it wastes: with a potential that is not negative enough "
                     "it is not\n  connected, painted over or passive, and not in good health\n";
    if (asked.demand_a) std::cout << charge_text(anode, *asked.demand_a);
    for (const HaulOut& each : asked.haul_outs)
        std::cout << fmt::format("  until the haul-out of {} it {}\n", each.typed,
                                 name_of(lasts_until(wear, each.at)));
    if (const auto cost = cost_of(wear, asked))
        std::cout << fmt::format("  renewing it today throws away {:.0f} of its {}; one more "
                                 "haul-out costs {}: {}\n",
                                 cost->thrown_away, *asked.options.anode_price,
                                 cost->extra_haul_out, renewal_words(wear, *cost, asked.haul_outs));
}

Outcome draw(const Options& options, const FittedAnode& anode, const Wear& wear, Instant now) {
    const AnodeWear chart = wear_figure(anode, wear, options.renew_at_percent_gone / 100, now);
    constexpr double width_mm = 160;
    const Scene scene = draw_wear(chart, width_mm, drawn_text_width());
    if (options.output.ends_with(".png")) {
        constexpr double dpi = 150;
        const auto picture = render_png(scene, dpi);
        if (!picture) return picture.error();
        return write_file(options.output, *picture);
    }
    if (!options.output.ends_with(".svg"))
        return Error{ErrorCode::wrong_usage, "a chart of that kind cannot be written",
                     options.output, "Name a file that ends in .svg or .png"};
    return write_file(options.output, render_svg(scene));
}

Result<std::vector<Worn>> load(const Options& options) {
    auto archive = open_to_read(options.archive);
    if (!archive) return archive.error();
    const auto rows = archive->anode_entries();
    if (!rows) return rows.error();
    const auto anodes = anodes_in(
        options.boat.empty() ? *rows : entries_of_boat(*rows, options.boat), options.archive);
    if (!anodes) return anodes.error();
    std::vector<Worn> worn;
    const auto take = [&](const LoggedAnode& each) -> std::optional<Error> {
        auto wear = wear_of(each.anode, options.renew_at_percent_gone / 100);
        if (!wear && wear.error().code == ErrorCode::wrong_input) return wear.error();
        worn.push_back({each, std::move(wear)});
        return std::nullopt;
    };
    if (!options.place.empty()) {
        const auto anode = anode_at(*anodes, options.place);
        if (!anode) return anode.error();
        if (auto error = take(*anode)) return *error;
        return worn;
    }
    for (const LoggedAnode& each : *anodes)
        if (auto error = take(each)) return *error;
    if (worn.empty())
        return Error{ErrorCode::not_found, "the archive knows no anode", options.archive,
                     "Enter one: quaycell anodes fitted --archive FILE --place PLACE --alloy "
                     "ALLOY --mass-kg KG"};
    return worn;
}

Result<Asked> asked_of(const Options& options) {
    Asked asked{options, {}, {}, written_now()};
    for (const std::string& typed : options.haul_outs) {
        const auto at = day_to_come(typed, "--haul-out");
        if (!at) return at.error();
        asked.haul_outs.push_back({*at, typed});
    }
    if (!options.demand_a.empty()) {
        const auto amount = amount_from(options.demand_a, "--demand-a");
        if (!amount) return amount.error();
        asked.demand_a = *amount;
    }
    return asked;
}

Outcome run(const Options& options) {
    const auto asked = asked_of(options);
    if (!asked) return asked.error();
    if (auto error = would_destroy(options.output, {options.archive})) return *error;
    const auto worn = load(options);
    if (!worn) return worn.error();
    if (!options.output.empty()) {
        if (worn->size() != 1)
            return Error{ErrorCode::wrong_usage, "a chart is of one anode", "--output",
                         "Say which: --place PLACE"};
        if (!worn->front().wear) return worn->front().wear.error();
        const auto drawn =
            draw(options, worn->front().logged.anode, *worn->front().wear, asked->now);
        if (!drawn) return drawn;
    }
    if (options.as_json)
        print_json(*worn, *asked);
    else
        for (const Worn& each : *worn)
            print_words(each, *asked);
    std::cerr << fmt::format("Renewed at {:g} % gone: common practice. ",
                             options.renew_at_percent_gone)
              << anodes_footing << '\n';
    return Done{};
}

} // namespace

void add_anodes_wear(CLI::App& anodes, Action& action) {
    const auto options = std::make_shared<Options>();
    CLI::App* command =
        anodes.add_subcommand("wear", "How fast they waste, and until when they last");
    command->add_option("--archive", options->archive, "Where the log is kept")
        ->type_name("FILE")
        ->required();
    command->add_option("--place", options->place, "Only the anode there")->type_name("TEXT");
    command->add_option("--boat", options->boat, "Only those of this boat")->type_name("NAME");
    command
        ->add_option("--haul-out", options->haul_outs,
                     "Planned; may be given again for the one after")
        ->type_name("DATE");
    command
        ->add_option("--renew-at-percent-gone", options->renew_at_percent_gone,
                     "When an anode is renewed")
        ->type_name("N")
        ->check(CLI::Range(1.0, 99.0))
        ->capture_default_str();
    command
        ->add_option("--demand-a", options->demand_a,
                     "What the metal takes on average, as anodes size tells, 0.15-0.3: the charge "
                     "against what was weighed")
        ->type_name("A");
    command->add_option("--anode-price", options->anode_price, "Of one, fitted")
        ->type_name("N")
        ->check(CLI::Range(0.0, highest_price));
    command->add_option("--haul-out-price", options->haul_out_price, "Of one more haul-out")
        ->type_name("N")
        ->check(CLI::Range(0.0, highest_price));
    command->add_option("--output", options->output, "A chart of one anode, .svg or .png")
        ->type_name("FILE");
    command->add_flag("--json", options->as_json, "One JSON document");
    command->footer("Rates and dates are ranges: k = 2, a scale within 1 % of the new mass and an "
                    "eye within 10 % (our judgement).\n\n"
                    "Examples:\n"
                    "  quaycell anodes wear --archive tern.quaycell --haul-out 2027-03-20 "
                    "--haul-out 2028-03-20\n"
                    "  quaycell anodes wear --archive tern.quaycell --place rudder --output "
                    "rudder.svg");
    command->callback([options, &action] { action = [options] { return run(*options); }; });
}

} // namespace quaycell
