#include "chart/numbered.h"
#include "chart/style.h"
#include "chart/trace_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace quaycell {

namespace {

constexpr double column_mm = 0.25; ///< a spell of one reading is as wide
constexpr double strip_mm = 1.5;
constexpr double numbers_mm = 3; ///< above the strip
constexpr double hatch_mm = 0.9;
constexpr double least_hatched_mm = 1.5; ///< what is narrower is filled

/// What must not be hidden by what, when both fall into one column; worst last.
constexpr std::array<Verdict, 5> least_to_worst{Verdict::protected_, Verdict::no_verdict,
                                                Verdict::undecided, Verdict::over_protected,
                                                Verdict::under_protected};

std::ptrdiff_t rank(Verdict verdict) {
    return std::ranges::find(least_to_worst, verdict) - least_to_worst.begin();
}

/// The worst verdict of every column; none where there was no reading.
std::vector<std::optional<Verdict>> columns_of(const Plot& plot, const std::vector<Spell>& spells) {
    const auto count = static_cast<std::size_t>(std::ceil(plot.place.width_mm / column_mm));
    std::vector<std::optional<Verdict>> columns(count);
    const auto column_of = [&](Instant time) {
        const double column = std::floor((plot.x_mm(time) - plot.place.left_mm) / column_mm);
        return static_cast<std::size_t>(std::clamp(column, 0.0, static_cast<double>(count - 1)));
    };
    for (const Spell& spell : spells)
        for (std::size_t i = column_of(spell.from); i <= column_of(spell.to); ++i)
            if (!columns[i] || rank(*columns[i]) < rank(spell.verdict)) columns[i] = spell.verdict;
    return columns;
}

} // namespace

double spell_strip_height_mm(const JudgedTrace& judged) {
    return strip_mm + (numbered_spells(judged).empty() ? 0.6 : 0.6 + numbers_mm);
}

Group draw_spell_strip(const Plot& plot, const JudgedTrace& judged, const TextWidth& text_width) {
    Group group{"Spells, by their numbers", {}};
    const double top = plot.place.top_mm - strip_mm;
    const auto columns = columns_of(plot, judged.spells);
    for (std::size_t first = 0, end = 0; first < columns.size(); first = end) {
        while (end < columns.size() && columns[end] == columns[first])
            ++end;
        if (!columns[first]) continue;
        const double left = plot.place.left_mm + static_cast<double>(first) * column_mm;
        const double right = std::min(plot.place.left_mm + static_cast<double>(end) * column_mm,
                                      plot.place.right_mm());
        const Rectangle place{left, top, right - left, strip_mm};
        const VerdictStyle style = style_of(*columns[first]);
        if (place.width_mm < least_hatched_mm)
            group.items.emplace_back(Area{place, style.colour});
        else
            for (Item& item : hatched(place, style.colour, style.hatch, hatch_mm))
                group.items.emplace_back(std::move(item));
    }
    std::vector<Numbered> numbers;
    for (const NumberedSpell& each : numbered_spells(judged)) {
        const double middle = (plot.x_mm(each.spell.from) + plot.x_mm(each.spell.to)) / 2;
        numbers.push_back({middle, each.number, std::string(name_of(each.spell.verdict))});
    }
    for (Text& text : number_labels(numbers, top - 0.7, plot.place.left_mm - plot_axis_width_mm,
                                    plot.place.right_mm(), text_width))
        group.items.emplace_back(std::move(text));
    return group;
}

} // namespace quaycell
