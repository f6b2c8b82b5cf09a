#include "chart/trace_parts.h"

#include "chart/style.h"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace quaycell {

namespace {

constexpr double band_hatch_mm = 2.6;
constexpr double least_gap_mm = 0.3;

} // namespace

std::optional<Rectangle> visible(const Plot& plot, const ChartBand& band) {
    const double from_mv = std::min(band.from_mv, plot.high);
    const double to_mv = std::max(band.to_mv, plot.low);
    if (from_mv <= to_mv) return std::nullopt;
    const double top = std::min(plot.y_mm(from_mv), plot.y_mm(to_mv));
    const double bottom = std::max(plot.y_mm(from_mv), plot.y_mm(to_mv));
    return Rectangle{plot.place.left_mm, top, plot.place.width_mm, bottom - top};
}

Group draw_bands(const Plot& plot, const std::vector<ChartBand>& bands) {
    Group group{"Bands of the criterion", {}};
    for (const ChartBand& band : bands) {
        const auto place = visible(plot, band);
        if (!place) continue;
        const VerdictStyle style = style_of(band.verdict);
        if (band.zone) group.items.emplace_back(Area{*place, paper});
        for (Item& item : hatched(*place, style.colour, style.hatch, band_hatch_mm))
            group.items.emplace_back(std::move(item));
    }
    return group;
}

Group draw_limits(const Plot& plot, const std::vector<ChartBand>& bands) {
    Group group{"Limits", {}};
    for (const double limit : limits_of(bands)) {
        const double y = plot.y_mm(limit);
        group.items.emplace_back(
            line({{plot.place.left_mm, y}, {plot.place.right_mm(), y}}, faint_ink, limit_mm));
    }
    return group;
}

Group draw_gaps(const Plot& plot, std::span<const Gap> gaps, const TextWidth& text_width) {
    Group group{"Gaps: no reading", {}};
    double drawn_to = plot.place.left_mm - 1;
    for (const Gap& gap : gaps) {
        const double left = std::max(plot.x_mm(gap.from), drawn_to);
        const double right = std::max(plot.x_mm(gap.to), left + least_gap_mm);
        if (plot.x_mm(gap.to) <= drawn_to) continue; // in the same hair as the one before
        drawn_to = right;
        const Rectangle place{left, plot.place.top_mm, right - left, plot.place.height_mm};
        group.items.emplace_back(Area{place, paper});
        group.items.emplace_back(Area{place, grey, gap_opacity});
        const std::string word = "no reading";
        if (text_width(word, small_size_mm, false) + small_size_mm < place.width_mm)
            group.items.emplace_back(Text{{left + place.width_mm / 2, place.bottom_mm() - 1.5},
                                          word,
                                          small_size_mm,
                                          Anchor::middle,
                                          false,
                                          faint_ink});
    }
    return group;
}

} // namespace quaycell
