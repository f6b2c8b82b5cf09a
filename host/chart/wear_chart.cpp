#include "chart/wear_chart.h"

#include "chart/axis.h"
#include "chart/columns.h"
#include "chart/style.h"
#include "chart/text.h"
#include "chart/trace_parts.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double least_width_mm = 100;
constexpr double height_mm = 82;
constexpr double margin_mm = 4;
constexpr double value_spacing_mm = 7;
constexpr double dash_mm = 1.2;
constexpr double dot_mm = 1.6;
constexpr double room_above = 1.08; ///< of the largest mass

Plot plot_of(const AnodeWear& wear, double width_mm) {
    Plot plot{{margin_mm + plot_axis_width_mm, margin_mm + 2 * text_size_mm + 7,
               width_mm - 2 * margin_mm - plot_axis_width_mm, 0},
              {},
              {},
              0,
              wear.new_mass_kg};
    plot.place.height_mm = height_mm - margin_mm - plot_axis_height_mm - plot.place.top_mm;
    std::vector<Instant> times;
    for (const auto* line : {&wear.weighed, &wear.expected})
        for (const AnodeMass& mass : *line) {
            times.push_back(mass.at);
            plot.high = std::max(plot.high, mass.mass_kg);
        }
    plot.high *= room_above;
    for (const auto& end : {wear.renew_from, wear.renew_to})
        if (end) times.push_back(*end);
    if (times.empty()) return plot;
    const auto [first, last] = std::ranges::minmax_element(times);
    constexpr std::chrono::days margin{1};
    plot.from = *first - margin;
    plot.to = *last + margin;
    return plot;
}

std::vector<Point> points_of(const Plot& plot, const std::vector<AnodeMass>& masses) {
    std::vector<Point> points;
    for (const AnodeMass& mass : masses)
        points.push_back({plot.x_mm(mass.at), plot.y_mm(mass.mass_kg)});
    return points;
}

std::string day(Instant at, const Zone& zone) {
    return to_words(at, zone).substr(0, 10);
}

/// "half", "40 %"
std::string share_gone(const AnodeWear& wear) {
    constexpr double half = 0.5;
    return wear.renew_at_gone == half ? "half" : fmt::format("{:g} %", 100 * wear.renew_at_gone);
}

std::string when_due_text(const AnodeWear& wear) {
    const auto& from = wear.renew_from;
    const auto& to = wear.renew_to;
    const std::string share = share_gone(wear);
    if (!from && !to) return fmt::format("when {} of it will be gone is not known", share);
    if (!from || !to)
        return fmt::format("{} gone about {} or later", share, day(from ? *from : *to, wear.zone));
    return fmt::format("{} gone between {} and {}", share, day(*from, wear.zone),
                       day(*to, wear.zone));
}

Group draw_lines(const Plot& plot, const AnodeWear& wear) {
    Group group{"Mass left", {}};
    if (wear.renew_from && wear.renew_to) {
        const double left = plot.x_mm(*wear.renew_from);
        const double right = std::max(plot.x_mm(*wear.renew_to), left + 0.3);
        group.items.emplace_back(Area{{left, plot.place.top_mm, right - left, plot.place.height_mm},
                                      ribbon_colour,
                                      ribbon_opacity});
    }
    const double due = plot.y_mm(wear.new_mass_kg * (1 - wear.renew_at_gone));
    group.items.emplace_back(
        line({{plot.place.left_mm, due}, {plot.place.right_mm(), due}}, vermillion, limit_mm));
    group.items.emplace_back(Text{{plot.place.left_mm + 1, due - 0.8},
                                  share_gone(wear) + " gone: renew it",
                                  small_size_mm,
                                  Anchor::start,
                                  false,
                                  ink});
    if (wear.expected.size() > 1)
        group.items.emplace_back(line(points_of(plot, wear.expected), ink, trace_mm, dash_mm));
    const std::vector<Point> weighed = points_of(plot, wear.weighed);
    if (weighed.size() > 1) group.items.emplace_back(line(weighed, ink, trace_mm));
    Lines dots{{}, ink, dot_mm};
    for (const Point& point : weighed)
        dots.lines.push_back({point});
    group.items.emplace_back(std::move(dots));
    return group;
}

} // namespace

Scene draw_wear(const AnodeWear& wear, double wanted_width_mm, const TextWidth& text_width) {
    const double width = std::max(wanted_width_mm, least_width_mm);
    const Plot plot = plot_of(wear, width);
    Scene scene{width, height_mm, "Anode: " + clean_text(wear.name), "", {}};
    Group heading{"", {}};
    const auto add_line = [&](double baseline, const std::string& text, bool bold) {
        heading.items.emplace_back(
            Text{{margin_mm, baseline},
                 shortened(text, width - 2 * margin_mm, text_size_mm, bold, text_width),
                 text_size_mm,
                 Anchor::start,
                 bold,
                 ink});
    };
    const std::string words =
        fmt::format("{:g} kg when new; {}", wear.new_mass_kg, when_due_text(wear));
    add_line(margin_mm + text_size_mm, scene.title, true);
    add_line(margin_mm + text_size_mm * (1 + line_height), words, false);
    scene.description = words + '.';
    for (const AnodeMass& mass : wear.weighed)
        scene.description += fmt::format(" {}: {:g} kg.", day(mass.at, wear.zone), mass.mass_kg);
    scene.groups.push_back(std::move(heading));

    const bool is_dated = plot.to > plot.from;
    if (is_dated) scene.groups.push_back(draw_lines(plot, wear));
    Group axis{"Mass left, kg", {}};
    add_value_axis(axis, plot, value_spacing_mm, small_size_mm);
    axis.items.emplace_back(Text{{margin_mm, plot.place.top_mm - 1.2},
                                 is_dated ? axis.title : axis.title + ": never weighed",
                                 small_size_mm,
                                 Anchor::start,
                                 true,
                                 ink});
    scene.groups.push_back(std::move(axis));
    if (is_dated) scene.groups.push_back(draw_time_axis(plot, wear.zone, text_width));
    return scene;
}

} // namespace quaycell
