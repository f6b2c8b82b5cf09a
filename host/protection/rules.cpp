#include "protection/rules.h"

#include "electrode/chloride.h"
#include "protection/standard_potential.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <utility>

namespace quaycell {
namespace {

/// Hulls and metals that over-protection destroys: alkali softens wood, aluminium corrodes in the
/// alkali it makes, hydrogen cracks high-strength and duplex steel.
constexpr std::array sensitive_subjects =
    std::to_array<std::string_view>({"wood", "aluminium", "grp-aluminium-drive", "aluminium-alloy",
                                     "high-strength-steel", "stainless-duplex"});

bool is_sensitive(std::string_view subject) {
    return std::find(sensitive_subjects.begin(), sensitive_subjects.end(), subject) !=
           sensitive_subjects.end();
}

bool holds_in(const Criterion& criterion, Range salinity_psu) {
    return salinity_psu.low >= criterion.salinity_min_psu &&
           salinity_psu.high <= criterion.salinity_max_psu;
}

/// Where to look for a row.
struct Wanted {
    std::string_view subject;
    std::optional<std::string_view> rule_set; ///< absent: any
    Oxygen oxygen;
};

bool may_judge(const Criterion& c, const Wanted& wanted) {
    const bool is_band = c.kind == CriterionKind::absolute || c.kind == CriterionKind::target;
    return is_band && !c.background && c.subject == wanted.subject &&
           (c.oxygen == Oxygen::any || c.oxygen == wanted.oxygen) &&
           (wanted.rule_set ? c.rule_set == *wanted.rule_set : c.kind == CriterionKind::absolute);
}

/// Collects the rules of one boat, each criterion once.
class Chooser {
  public:
    Chooser(std::span<const Criterion> criteria, const Judged& judged, std::string_view rule_set,
            Range salinity_psu)
        : criteria_(criteria), rule_set_(rule_set), oxygen_(judged.oxygen),
          scale_(judged.cell_scale == Scale::agcl_open ? Scale::agcl_seawater : judged.cell_scale),
          salinity_psu_(salinity_psu) {}

    /// Adds the row of the rule set for a subject, to decide. False if there is none.
    bool decide_by(std::string_view subject) {
        const Criterion* row = row_for({subject, rule_set_, oxygen_});
        if (row != nullptr) add(*row, true);
        return row != nullptr;
    }

    /// Adds a row for a subject, wherever from, beside those that decide.
    void show(std::string_view subject) {
        const Criterion* row = row_for({subject, rule_set_, oxygen_});
        if (row == nullptr) row = row_for({subject, std::nullopt, oxygen_});
        if (row != nullptr) add(*row, false);
    }

    /// In mud without oxygen a metal needs what a row for that asks.
    void decide_in_mud_by(std::string_view subject) {
        const Criterion* row = row_for({subject, std::nullopt, oxygen_});
        if (row != nullptr && row->oxygen == Oxygen::anaerobic) add(*row, true);
    }

    /// Adds what limits a subject's negative side alone.
    void add_limits(std::string_view subject) {
        for (const Criterion& c : criteria_)
            if (c.kind == CriterionKind::limit && c.subject == subject && c.rule_set == rule_set_ &&
                !c.background) {
                add(c, false);
                for (Rule& rule : rules_)
                    if (rule.criterion.subject == subject) rule.over_unknown = false;
            }
    }

    std::vector<Rule> chosen() && { return std::move(rules_); }

  private:
    /// The row to judge by: one that holds in this water before one that does not, then one on the
    /// reading's scale, then the first.
    const Criterion* row_for(const Wanted& wanted) const {
        const auto rank = [this](const Criterion& c) {
            return 2 * static_cast<int>(holds_in(c, salinity_psu_)) +
                   static_cast<int>(c.scale == scale_);
        };
        const Criterion* best = nullptr;
        for (const Criterion& c : criteria_)
            if (may_judge(c, wanted) && (best == nullptr || rank(c) > rank(*best))) best = &c;
        return best;
    }

    void add(const Criterion& criterion, bool decides) {
        for (Rule& rule : rules_)
            if (rule.criterion.id == criterion.id) return;
        const bool sensitive = is_sensitive(criterion.subject);
        const bool is_limit = criterion.kind == CriterionKind::limit;
        rules_.push_back({criterion,
                          {},
                          0,
                          decides,
                          decides || sensitive || is_limit,
                          sensitive,
                          sensitive && !criterion.over_at_mv});
    }

    std::span<const Criterion> criteria_;
    std::string_view rule_set_;
    Oxygen oxygen_;
    Scale scale_;
    Range salinity_psu_;
    std::vector<Rule> rules_;
};

Result<std::vector<Rule>> choose(std::span<const Criterion> criteria, const Judged& judged,
                                 std::string_view rule_set, Range salinity_psu) {
    Chooser chooser(criteria, judged, rule_set, salinity_psu);
    const std::string_view hull = name_of(judged.hull);
    const std::optional<Metal> own_metal = metal_of(judged.hull);
    bool decided = chooser.decide_by(hull) || (own_metal && chooser.decide_by(name_of(*own_metal)));
    if (!decided)
        for (const std::string& metal : judged.metals)
            decided = chooser.decide_by(metal) || decided;
    if (!decided)
        return Error{
            ErrorCode::wrong_usage,
            fmt::format("rule set \"{}\" has no criterion for hull \"{}\"", rule_set, hull), "",
            fmt::format("Use rule set {}, or list the bonded metals in the vessel file",
                        default_rule_set)};
    if (own_metal) chooser.decide_in_mud_by(name_of(*own_metal));
    for (const std::string& metal : judged.metals)
        chooser.show(metal);
    if (judged.hull == Hull::wood) chooser.show(hull);
    chooser.add_limits(hull);
    if (own_metal) chooser.add_limits(name_of(*own_metal));
    for (const std::string& metal : judged.metals)
        chooser.add_limits(metal);
    return std::move(chooser).chosen();
}

/// The shift rules, the first to decide if `decides`. `sensitive`: over-protection destroys the
/// hull or a bonded metal.
std::vector<Rule> shift_rules_of(std::span<const Criterion> criteria, const Baseline& baseline,
                                 bool decides, bool sensitive) {
    std::vector<Rule> rules;
    for (const Criterion& c : criteria) {
        if (c.kind != CriterionKind::shift || c.background) continue;
        const bool counts = decides && rules.empty();
        rules.push_back({c,
                         {*c.protected_from_mv + baseline.standard_mv.more_negative_mv(), {}},
                         baseline.standard_mv,
                         counts,
                         counts,
                         false,
                         counts && sensitive,
                         baseline.change_uncertainty_mv});
    }
    return rules;
}

bool has_sensitive(const Judged& judged) {
    return is_sensitive(name_of(judged.hull)) ||
           std::any_of(judged.metals.begin(), judged.metals.end(), is_sensitive);
}

Result<Done> place_on_seawater_scale(Rule& rule, const Water& water) {
    const Result<StandardOffset> offset = standard_offset(*rule.criterion.scale, water);
    if (!offset) return offset.error();
    rule.offset_mv = offset->offset_mv;
    if (const auto& limit_mv = rule.criterion.protected_from_mv)
        rule.band.protected_from_mv = *limit_mv + rule.offset_mv.more_negative_mv();
    if (const auto& limit_mv = rule.criterion.over_at_mv)
        rule.band.over_at_mv = *limit_mv + rule.offset_mv.less_negative_mv();
    return Done{};
}

std::optional<std::string> conflict_in(std::span<const Rule> rules) {
    for (const Rule& needing : rules)
        for (const Rule& endangered : rules)
            if (needing.band.protected_from_mv && endangered.band.over_at_mv &&
                *needing.band.protected_from_mv <= *endangered.band.over_at_mv)
                return fmt::format(
                    "{} is protected from {:.0f} mV, but beyond {:.0f} mV {} is over-protected: no "
                    "potential suits both, and more anode is not the answer",
                    needing.criterion.subject, *needing.band.protected_from_mv,
                    *endangered.band.over_at_mv, endangered.criterion.subject);
    return std::nullopt;
}

/// What can be done by the shift rules of a table, in words; nothing where it has none.
std::string shift_rules(std::span<const Criterion> criteria) {
    std::vector<std::string> texts;
    for (const Criterion& c : criteria)
        if (c.kind == CriterionKind::shift && !c.background)
            texts.push_back(fmt::format("by {:.0f} mV ({})", -*c.protected_from_mv, c.source));
    const std::string how = "compare with the anodes disconnected";
    if (texts.empty()) return how;
    return fmt::format("{}: connected, they have to make the potential more negative {}", how,
                       fmt::join(texts, " or "));
}

std::string range_text(std::string_view what, Range range, std::string_view unit) {
    return range.half_width() > 0 ? fmt::format("{} may be anything between {:.3g} and {:.3g} {}",
                                                what, range.low, range.high, unit)
                                  : fmt::format("{} is {:.3g} {}", what, range.low, unit);
}

/// Why these rules cannot judge in this water, whose salinity is given besides.
std::optional<std::string> outside_water(std::span<const Rule> rules,
                                         std::span<const Criterion> criteria, const Water& water,
                                         Range salinity_psu) {
    for (const Rule& rule : rules) {
        const Criterion& c = rule.criterion;
        if (!rule.over_counts || holds_in(c, salinity_psu)) continue;
        const bool partly =
            salinity_psu.high >= c.salinity_min_psu && salinity_psu.low <= c.salinity_max_psu;
        return fmt::format(
            "{}: its {}, and the criterion for {} ({}) applies from {} to {} PSU{}{}",
            partly ? "not all of what this water may be has a published criterion"
                   : "no published criterion for this water",
            water.chloride_mg_l ? range_text("chloride", *water.chloride_mg_l, "mg/L")
                                : range_text("salinity", salinity_psu, "PSU"),
            c.subject, c.source, c.salinity_min_psu, c.salinity_max_psu,
            partly ? "; measure the salinity, or " : "; ", shift_rules(criteria));
    }
    return std::nullopt;
}

/// In water that they do not hold in the rows leave their place to the shift rules, if those can
/// judge.
void add_shift_rules(Rules& rules, std::span<const Criterion> criteria, const Judged& judged) {
    if (!judged.baseline) return;
    std::vector<Rule> shifts = shift_rules_of(criteria, *judged.baseline,
                                              rules.no_verdict.has_value(), has_sensitive(judged));
    if (shifts.empty()) return;
    if (rules.no_verdict) {
        rules.by_shift = std::exchange(rules.no_verdict, std::nullopt);
        rules.conflict.reset();
        rules.rules.clear();
    }
    rules.rules.insert(rules.rules.end(), shifts.begin(), shifts.end());
}

} // namespace

Result<Rules> prepare_rules(const std::vector<Criterion>& criteria, const Judged& judged,
                            const Water& water) {
    const std::string_view rule_set = judged.rule_set.empty() ? default_rule_set : judged.rule_set;
    const std::vector<std::string> known_sets = rule_sets_in(criteria);
    if (std::find(known_sets.begin(), known_sets.end(), rule_set) == known_sets.end())
        return Error{ErrorCode::wrong_usage, fmt::format("there is no rule set \"{}\"", rule_set),
                     "", fmt::format("Use one of: {}", fmt::join(known_sets, ", "))};
    for (const std::string& metal : judged.metals)
        if (const Result<Metal> known = metal_named(metal); !known) return known.error();
    const Result<Range> salinity_psu = salinity_range_of(water);
    if (!salinity_psu) return salinity_psu.error();

    Result<std::vector<Rule>> chosen = choose(criteria, judged, rule_set, *salinity_psu);
    if (!chosen) return chosen.error();
    Rules rules{std::move(*chosen), std::nullopt, std::nullopt, std::nullopt};
    for (Rule& rule : rules.rules)
        if (const Result<Done> placed = place_on_seawater_scale(rule, water); !placed)
            return placed.error();
    rules.conflict = conflict_in(rules.rules);
    rules.no_verdict = outside_water(rules.rules, criteria, water, *salinity_psu);
    add_shift_rules(rules, criteria, judged);
    return rules;
}

std::vector<std::string> rule_sets_in(std::span<const Criterion> criteria) {
    std::vector<std::string> names;
    for (const Criterion& c : criteria)
        if (!c.rule_set.empty() && std::find(names.begin(), names.end(), c.rule_set) == names.end())
            names.push_back(c.rule_set);
    return names;
}

void set_shift_uncertainty(Rules& rules, double expanded_uncertainty_mv) {
    for (Rule& rule : rules.rules)
        if (rule.expanded_uncertainty_mv) rule.expanded_uncertainty_mv = expanded_uncertainty_mv;
}

} // namespace quaycell
