#include "chart/survey_chart.h"

#include "chart/axis.h"
#include "chart/numbered.h"
#include "chart/style.h"
#include "chart/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double least_width_mm = 100;
constexpr double margin_mm = 4;
constexpr double beam_share = 0.28;  ///< of the length: what a boat looks like
constexpr double side_share = 0.72;  ///< of half the beam: how far out a point of a side stands
constexpr double inner_share = 0.06; ///< of the length, that the marks keep from bow and stern
constexpr double mark_mm = 1.3;      ///< half of its width
constexpr double ring_mm = 1.75;     ///< round a mark that differs
constexpr double row_mm = small_size_mm * 1.6;

/// How far the hull reaches out at `forward`, 0 to 1: a transom, its widest amidships, a bow.
double half_beam(double forward) {
    constexpr double transom = 0.7;
    constexpr double widest_at = 0.4;
    if (forward < widest_at) {
        const double aft = 1 - forward / widest_at;
        return 1 - (1 - transom) * aft * aft;
    }
    const double ahead = (forward - widest_at) / (1 - widest_at);
    return 1 - std::pow(ahead, 2.2);
}

Lines outline_of(const Rectangle& hull) {
    constexpr int steps = 60;
    const double middle = hull.top_mm + hull.height_mm / 2;
    std::vector<Point> points;
    const auto add = [&](int step, double way) {
        const double forward = static_cast<double>(step) / steps;
        points.push_back({hull.left_mm + forward * hull.width_mm,
                          middle + way * half_beam(forward) * hull.height_mm / 2});
    };
    for (int step = 0; step <= steps; ++step)
        add(step, -1);
    for (int step = steps - 1; step >= 0; --step)
        add(step, 1);
    points.push_back(points.front());
    return line(std::move(points), frame_colour, limit_mm);
}

/// Each verdict has a shape of its own, so that none rests on its colour.
Polygon mark_of(Point at, Verdict verdict) {
    const auto of = [&](std::vector<Point> corners) {
        for (Point& corner : corners)
            corner = {at.x_mm + mark_mm * corner.x_mm, at.y_mm + mark_mm * corner.y_mm};
        return Polygon{std::move(corners), style_of(verdict).colour};
    };
    switch (verdict) {
    case Verdict::under_protected:
        return of({{0, -1}, {1, 1}, {-1, 1}});
    case Verdict::over_protected:
        return of({{0, 1}, {1, -1}, {-1, -1}});
    case Verdict::undecided:
        return of({{0, -1.2}, {1.2, 0}, {0, 1.2}, {-1.2, 0}});
    case Verdict::no_verdict:
        return of({{-1, -0.3}, {1, -0.3}, {1, 0.3}, {-1, 0.3}});
    case Verdict::protected_:
        break;
    }
    return of(
        {{-0.5, -1}, {0.5, -1}, {1, -0.5}, {1, 0.5}, {0.5, 1}, {-0.5, 1}, {-1, 0.5}, {-1, -0.5}});
}

/// Round a mark, in ink: whatever the verdict, this one is not joined as it should be.
Lines ring_round(Point at) {
    constexpr int corners = 24;
    constexpr double full_turn = 2 * 3.14159265358979;
    std::vector<Point> points;
    for (int i = 0; i <= corners; ++i) {
        const double angle = full_turn * i / corners;
        points.push_back(
            {at.x_mm + ring_mm * std::cos(angle), at.y_mm + ring_mm * std::sin(angle)});
    }
    return line(std::move(points), ink, limit_mm);
}

void add_mark(Group& group, Point at, const SurveyedPoint& point) {
    Polygon mark = mark_of(at, point.verdict);
    if (point.differs) {
        mark.colour = grey; // green would say that all is well
        group.items.emplace_back(ring_round(at));
    }
    group.items.emplace_back(std::move(mark));
}

double out_of(HullSide side) {
    if (side == HullSide::centre) return 0;
    return side == HullSide::port ? -side_share : side_share;
}

class Survey {
  public:
    Survey(std::span<const SurveyedPoint> points, const Rectangle& hull,
           const TextWidth& text_width)
        : points_(points), hull_(hull), text_width_(text_width) {}

    Point place_of(const SurveyedPoint& point) const {
        const double forward =
            inner_share + (1 - 2 * inner_share) * std::clamp(point.forward, 0.0, 1.0);
        const double middle = hull_.top_mm + hull_.height_mm / 2;
        return {hull_.left_mm + forward * hull_.width_mm,
                middle + out_of(point.side) * half_beam(forward) * hull_.height_mm / 2};
    }

    Group draw() const {
        Group group{"Points", {outline_of(hull_)}};
        for (const SurveyedPoint& point : points_)
            add_mark(group, place_of(point), point);
        const double middle = hull_.top_mm + hull_.height_mm / 2;
        add_numbers(group, HullSide::port, hull_.top_mm - 1);
        add_numbers(group, HullSide::centre, middle - mark_mm - 1);
        add_numbers(group, HullSide::starboard, hull_.bottom_mm() + small_size_mm + 0.6);
        return group;
    }

  private:
    void add_numbers(Group& group, HullSide side, double baseline) const {
        std::vector<Numbered> marks;
        for (std::size_t i = 0; i < points_.size(); ++i)
            if (points_[i].side == side)
                marks.push_back({place_of(points_[i]).x_mm, fmt::format("{}", i + 1),
                                 number_text(points_[i].potential_mv, 0)});
        std::ranges::stable_sort(marks, {}, &Numbered::x_mm);
        for (Text& text :
             number_labels(marks, baseline, hull_.left_mm, hull_.right_mm(), text_width_))
            group.items.emplace_back(std::move(text));
    }

    std::span<const SurveyedPoint> points_;
    Rectangle hull_;
    const TextWidth& text_width_;
};

} // namespace

Scene draw_survey(std::string_view title, std::span<const SurveyedPoint> points,
                  double wanted_width_mm, const TextWidth& text_width) {
    const double width = std::max(wanted_width_mm, least_width_mm);
    const double inner = width - 2 * margin_mm;
    Scene scene{width, 0, clean_text(title), "", {}};
    Group heading{"", {}};
    heading.items.emplace_back(Text{{margin_mm, margin_mm + text_size_mm},
                                    shortened(scene.title, inner, text_size_mm, true, text_width),
                                    text_size_mm,
                                    Anchor::start,
                                    true,
                                    ink});
    const Rectangle hull{margin_mm, margin_mm + 3 * text_size_mm + 2, inner, inner * beam_share};
    Group list{"The points in words", {}};
    double top = hull.bottom_mm() + 2 * small_size_mm + 2;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const SurveyedPoint& point = points[i];
        const std::string value =
            fmt::format("{} mV, {}{}", number_text(point.potential_mv, 0), name_of(point.verdict),
                        point.differs ? "; differs from the hull" : "");
        const std::string name = fmt::format("{}, {}", clean_text(point.name), name_of(point.side));
        const double baseline = top + small_size_mm;
        add_mark(list, {margin_mm + ring_mm, baseline - small_size_mm * 0.36}, point);
        list.items.emplace_back(Text{{margin_mm + 5, baseline},
                                     fmt::format("{}", i + 1),
                                     small_size_mm,
                                     Anchor::start,
                                     true,
                                     ink});
        list.items.emplace_back(
            Text{{margin_mm + 10, baseline},
                 shortened(name, inner * 0.5 - 10, small_size_mm, false, text_width),
                 small_size_mm,
                 Anchor::start,
                 false,
                 ink});
        list.items.emplace_back(Text{
            {margin_mm + inner * 0.55, baseline}, value, small_size_mm, Anchor::start, false, ink});
        scene.description += fmt::format("{}: {}, {}. ", i + 1, name, value);
        top += row_mm;
    }
    scene.height_mm = top + margin_mm;
    scene.groups.push_back(std::move(heading));
    scene.groups.push_back(Survey(points, hull, text_width).draw());
    scene.groups.push_back(std::move(list));
    return scene;
}

} // namespace quaycell
