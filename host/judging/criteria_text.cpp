#include "judging/criteria_text.h"

#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace json = boost::json;

namespace {

/// What rows without a rule set stand under.
std::string set_title(const Criterion& c) {
    if (c.background) return "background: weak authority, never judged by";
    if (c.rule_set.empty()) return "shifts from a baseline, beside every rule set";
    return c.rule_set;
}

std::string water_text(const Criterion& c) {
    return fmt::format("{:g} to {:g} PSU", c.salinity_min_psu, c.salinity_max_psu);
}

json::value text_or_null(const std::string& text) {
    return text.empty() ? json::value(nullptr) : json::value(text);
}

json::value number_or_null(const std::optional<double>& number) {
    return number ? json::value(*number) : json::value(nullptr);
}

} // namespace

std::string band_text(const Criterion& criterion) {
    if (criterion.kind == CriterionKind::shift)
        return criterion.over_at_mv
                   ? fmt::format("{:g} to {:g} mV more negative than the baseline",
                                 -*criterion.protected_from_mv, -*criterion.over_at_mv)
                   : fmt::format("{:g} mV more negative than the baseline",
                                 -*criterion.protected_from_mv);
    const std::string_view scale = name_of(*criterion.scale);
    if (!criterion.protected_from_mv)
        return fmt::format("not beyond {:g} mV on {}", *criterion.over_at_mv, scale);
    const std::string_view verb =
        criterion.kind == CriterionKind::target ? "set to stay from" : "protected from";
    if (!criterion.over_at_mv)
        return fmt::format("{} {:g} mV on {}", verb, *criterion.protected_from_mv, scale);
    return fmt::format("{} {:g} to {:g} mV on {}", verb, *criterion.protected_from_mv,
                       *criterion.over_at_mv, scale);
}

std::string source_text(const Criterion& criterion) {
    std::string text = criterion.source;
    if (!criterion.edition.empty()) text += ", " + criterion.edition;
    if (!criterion.clause.empty()) text += ", clause " + criterion.clause;
    return text + "; " + criterion.status;
}

json::object criterion_json(const Criterion& c) {
    return {{"id", c.id},
            {"subject", c.subject},
            {"kind", name_of(c.kind)},
            {"protected_from_mv", number_or_null(c.protected_from_mv)},
            {"over_at_mv", number_or_null(c.over_at_mv)},
            {"over_reason", text_or_null(c.over_reason)},
            {"scale", c.scale ? json::value(name_of(*c.scale)) : nullptr},
            {"salinity_min_psu", c.salinity_min_psu},
            {"salinity_max_psu", c.salinity_max_psu},
            {"oxygen", name_of(c.oxygen)},
            {"source", c.source},
            {"edition", c.edition.empty() ? "not known" : c.edition},
            {"clause", text_or_null(c.clause)},
            {"status", c.status},
            {"note", text_or_null(c.note)},
            {"rule_set", text_or_null(c.rule_set)},
            {"background", c.background}};
}

std::string criteria_table_text(const std::vector<Criterion>& criteria) {
    std::string text;
    std::string title;
    for (const Criterion& c : criteria) {
        if (set_title(c) != title) {
            title = set_title(c);
            text += fmt::format("{}{}\n", text.empty() ? "" : "\n", title);
        }
        text += fmt::format("  {:<24}{}{}; {}\n", c.subject, band_text(c),
                            c.oxygen == Oxygen::any ? "" : fmt::format(", {}", name_of(c.oxygen)),
                            water_text(c));
        text += fmt::format("  {:<24}{} [{}]\n", "", source_text(c), c.id);
        if (!c.over_reason.empty()) text += fmt::format("  {:<24}beyond: {}\n", "", c.over_reason);
        if (!c.note.empty()) text += fmt::format("  {:<24}note: {}\n", "", c.note);
    }
    return text;
}

double limit_of(const Criterion& criterion, bool negative_end) {
    return negative_end ? *criterion.over_at_mv : *criterion.protected_from_mv;
}

std::string_view end_name(const Disagreement& disagreement) {
    return disagreement.negative_end ? "over_at_mv" : "protected_from_mv";
}

std::string disagreements_text(const std::vector<Disagreement>& disagreements) {
    if (disagreements.empty()) return "";
    std::string text = "\nwhere they disagree, on agcl/seawater at 15 degC\n";
    for (const Disagreement& d : disagreements) {
        text += fmt::format("  {}, {}, {}: {:.0f} mV apart\n", d.subject, name_of(d.oxygen),
                            d.negative_end ? "negative limit" : "protected from", d.spread_mv());
        for (const LimitOfRow& limit : d.limits) {
            const Criterion& c = *limit.criterion;
            text += fmt::format(
                "    {:>6.0f} mV  {} ({}{})\n", limit.standard_mv, c.source,
                c.background ? "background" : c.rule_set,
                c.scale == Scale::agcl_seawater
                    ? ""
                    : fmt::format("; {:g} on {}", limit_of(c, d.negative_end), name_of(*c.scale)));
        }
    }
    return text;
}

} // namespace quaycell
