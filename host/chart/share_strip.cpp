#include "chart/trace_parts.h"

#include "chart/style.h"
#include "chart/text.h"
#include "chart/told.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double bar_mm = 3.2;
constexpr double bar_hatch_mm = 1.2;
constexpr double swatch_mm = 3;
constexpr double swatch_gap_mm = 1.2; ///< to its text
constexpr double row_mm = text_size_mm * 1.6;
constexpr double between_mm = 5;

/// A key in the rows below the bar.
enum class Key { verdict, gap, ribbon, clocks, event, spell };
struct Entry {
    Key key;
    Verdict verdict; ///< of its key
    std::string text;
    double left_mm;
    int row;
};

std::string gaps_text(const std::vector<Gap>& gaps) {
    Milliseconds silent{0};
    for (const Gap& gap : gaps)
        silent += gap.to - gap.from;
    return fmt::format("no reading for {} in {} gap{}, not counted",
                       to_text(std::chrono::duration_cast<std::chrono::seconds>(silent)),
                       gaps.size(), gaps.size() == 1 ? "" : "s");
}

bool has_spells(const JudgedTrace& judged) {
    return std::ranges::any_of(
        judged.spells, [](const Spell& spell) { return spell.verdict != Verdict::protected_; });
}

std::vector<Entry> entries_of(const JudgedTrace& judged, double width_mm, const StripKeys& keys,
                              const TextWidth& text_width) {
    std::vector<Entry> entries;
    double left = 0;
    int row = 0;
    const auto add = [&](Key key, Verdict verdict, const std::string& whole_text) {
        std::string text = shortened(whole_text, width_mm - swatch_mm - swatch_gap_mm, text_size_mm,
                                     false, text_width);
        const double width = swatch_mm + swatch_gap_mm + text_width(text, text_size_mm, false);
        if (left > 0 && left + width > width_mm) {
            left = 0;
            ++row;
        }
        entries.push_back({key, verdict, std::move(text), left, row});
        left += width + between_mm;
    };
    for (const Verdict verdict : verdicts_in_order) {
        const double share = judged.share.of(verdict);
        if (share > 0)
            add(Key::verdict, verdict, fmt::format("{} {}", name_of(verdict), percent_text(share)));
    }
    if (!judged.gaps.empty()) add(Key::gap, {}, gaps_text(judged.gaps));
    if (keys.ribbon_mv)
        add(Key::ribbon, {},
            fmt::format("each reading ± {} mV (k = 2)", told_uncertainty_mv(*keys.ribbon_mv)));
    if (keys.clocks_change) add(Key::clocks, {}, "clocks changed");
    const char* const where = keys.numbers_below ? "by its number, below" : "by its number";
    if (keys.has_events) add(Key::event, {}, fmt::format("event, {}", where));
    if (has_spells(judged)) add(Key::spell, {}, fmt::format("spell, {}", where));
    return entries;
}

std::string heading_of(const JudgedTrace& judged) {
    const std::size_t readings = judged.standard_mv.size();
    if (readings < 2) return fmt::format("Overall: {}", name_of(judged.overall));
    if (judged.covered_s == 0)
        return fmt::format("Overall: {}. Share of the {} readings:", name_of(judged.overall),
                           readings);
    const std::chrono::seconds covered{static_cast<std::int64_t>(std::lround(judged.covered_s))};
    return fmt::format("Overall: {}. Share of the {} covered:", name_of(judged.overall),
                       to_text(covered));
}

void add_hatched(Group& group, const Rectangle& place, Verdict verdict) {
    const VerdictStyle style = style_of(verdict);
    for (Item& item : hatched(place, style.colour, style.hatch, bar_hatch_mm))
        group.items.emplace_back(std::move(item));
    group.items.emplace_back(outline(place, style.colour, thin_mm));
}

} // namespace

double share_strip_height_mm(const JudgedTrace& judged, double width_mm, const StripKeys& keys,
                             const TextWidth& text_width) {
    const std::vector<Entry> entries = entries_of(judged, width_mm, keys, text_width);
    if (entries.empty()) return row_mm;
    return row_mm + bar_mm + 1 + (entries.back().row + 1) * row_mm;
}

Group draw_share_strip(const Rectangle& place, const JudgedTrace& judged, const StripKeys& keys,
                       const TextWidth& text_width) {
    Group group{"Share of the time covered in each verdict", {}};
    group.items.emplace_back(Text{{place.left_mm, place.top_mm + text_size_mm},
                                  heading_of(judged),
                                  text_size_mm,
                                  Anchor::start,
                                  true,
                                  ink});
    const double bar_top = place.top_mm + row_mm;
    double left = place.left_mm;
    for (const Verdict verdict : verdicts_in_order) {
        const double width = place.width_mm * judged.share.of(verdict);
        if (width > 0) add_hatched(group, {left, bar_top, width, bar_mm}, verdict);
        left += width;
    }
    const double rows_top = bar_top + bar_mm + 1;
    for (const Entry& entry : entries_of(judged, place.width_mm, keys, text_width)) {
        const double x = place.left_mm + entry.left_mm;
        const double y = rows_top + entry.row * row_mm;
        const Rectangle swatch{x, y + 0.4, swatch_mm, swatch_mm};
        switch (entry.key) {
        case Key::verdict:
            add_hatched(group, swatch, entry.verdict);
            break;
        case Key::gap:
            group.items.emplace_back(Area{swatch, grey, gap_opacity});
            break;
        case Key::ribbon:
            group.items.emplace_back(Area{swatch, ribbon_colour, ribbon_opacity});
            break;
        case Key::clocks:
            group.items.emplace_back(clock_change_line(x + swatch_mm / 2, swatch.top_mm - 0.3,
                                                       swatch.bottom_mm() + 0.1));
            break;
        case Key::spell:
            group.items.emplace_back(Text{{x + swatch_mm / 2, y + swatch_mm - 0.2},
                                          "S1",
                                          small_size_mm,
                                          Anchor::middle,
                                          false,
                                          ink});
            break;
        case Key::event:
            group.items.emplace_back(event_mark({x + swatch_mm / 2, y + swatch_mm}));
            break;
        }
        group.items.emplace_back(Text{{x + swatch_mm + swatch_gap_mm, y + text_size_mm},
                                      entry.text,
                                      text_size_mm,
                                      Anchor::start,
                                      false,
                                      ink});
    }
    return group;
}

} // namespace quaycell
