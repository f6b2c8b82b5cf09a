#include "chart/budget_chart.h"

#include "chart/axis.h"
#include "chart/style.h"
#include "chart/text.h"
#include "chart/told.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace quaycell {

namespace {

constexpr double least_width_mm = 100;
constexpr double margin_mm = 2;
constexpr double row_mm = 5;
constexpr double bar_mm = 3;
constexpr double bar_hatch_mm = 1.2;
constexpr double name_share = 0.36;  ///< of the width
constexpr double value_share = 0.26; ///< of the width, right of the bars

struct Bar {
    std::string name;
    double standard_mv;
};

std::vector<Bar> bars_of(const Budget& budget) {
    std::vector<Bar> bars;
    for (const BudgetLine& line : budget.lines)
        bars.push_back({clean_text(line.name), line.standard_mv()});
    std::ranges::stable_sort(bars, std::ranges::greater(), &Bar::standard_mv);
    return bars;
}

/// The root of the sum of squares, [mV].
double together(const std::vector<Bar>& bars) {
    return std::sqrt(
        std::transform_reduce(bars.begin(), bars.end(), 0.0, std::plus(),
                              [](const Bar& bar) { return bar.standard_mv * bar.standard_mv; }));
}

/// Of the sum of squares.
std::string share_text(double standard_mv, double sum_mv) {
    if (!(standard_mv > 0)) return "0 %";
    const double percent = 100 * standard_mv * standard_mv / (sum_mv * sum_mv);
    return percent < 0.5 ? "<1 %" : fmt::format("{:.0f} %", percent);
}

} // namespace

Scene draw_budget(const Budget& budget, double wanted_width_mm, const TextWidth& text_width) {
    const double width = std::max(wanted_width_mm, least_width_mm);
    const std::vector<Bar> bars = bars_of(budget);
    const double sum_mv = together(bars);
    const double height = 2 * margin_mm + static_cast<double>(bars.size() + 1) * row_mm;
    Scene scene{width, height, "What the uncertainty of a reading is made of", "", {}};

    const double bars_left = margin_mm + name_share * width;
    const double room = width - margin_mm - value_share * width - bars_left;
    const double longest_mv = bars.empty() ? 1 : std::max(bars.front().standard_mv, 1e-9);
    Group group{scene.title, {}};
    const auto add_text = [&](double x, double baseline, std::string text, bool bold) {
        group.items.emplace_back(
            Text{{x, baseline}, std::move(text), small_size_mm, Anchor::start, bold, ink});
    };
    double top = margin_mm;
    for (const Bar& bar : bars) {
        const double baseline = top + bar_mm / 2 + small_size_mm * 0.36;
        add_text(margin_mm, baseline,
                 shortened(bar.name, name_share * width - 2, small_size_mm, false, text_width),
                 false);
        const Rectangle place{bars_left, top, room * bar.standard_mv / longest_mv, bar_mm};
        for (Item& item : hatched(place, blue, Hatch::rising, bar_hatch_mm))
            group.items.push_back(std::move(item));
        group.items.emplace_back(outline(place, blue, thin_mm));
        const std::string value =
            fmt::format("{:.2f} mV, {}", bar.standard_mv, share_text(bar.standard_mv, sum_mv));
        add_text(place.right_mm() + 1.5, baseline, value, false);
        scene.description += fmt::format("{}: {}. ", bar.name, value);
        top += row_mm;
    }
    const std::string sum = fmt::format("All together: {:.2f} mV; expanded, k = 2: {} mV", sum_mv,
                                        told_uncertainty_mv(budget.expanded_mv()));
    add_text(margin_mm, top + bar_mm / 2 + small_size_mm * 0.36, sum, true);
    scene.description += sum + '.';
    scene.groups.push_back(std::move(group));
    return scene;
}

} // namespace quaycell
