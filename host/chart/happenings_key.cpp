#include "chart/happenings_key.h"

#include "chart/axis.h"
#include "chart/style.h"
#include "chart/text.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double row_mm = small_size_mm * line_height;
constexpr double column_mm = 78; ///< at least: of one column of the key
constexpr double number_mm = 8;  ///< of which the number takes
constexpr double between_mm = 2; ///< columns
constexpr std::size_t most_events = 40;
constexpr std::size_t most_spells = 20;

struct Row {
    std::string number;
    std::string text;
};

std::string text_of(const Event& event, const Zone& zone) {
    std::string text = fmt::format("{} {}", to_words(event.time, zone), name_of(event.kind));
    if (std::isfinite(event.change_mv))
        text += fmt::format(", {}{} mV", event.change_mv > 0 ? "+" : "",
                            number_text(event.change_mv, 0));
    return text;
}

std::string text_of(const Spell& spell, const Zone& zone) {
    const auto lasted = std::chrono::duration_cast<std::chrono::seconds>(spell.to - spell.from);
    std::string text = fmt::format("{} {} {}", to_words(spell.from, zone), name_of(spell.verdict),
                                   to_text(lasted));
    if (std::isfinite(spell.worst_mv))
        text += fmt::format(", {} mV", number_text(spell.worst_mv, 0));
    return text;
}

std::string left_out(std::size_t count, std::size_t most, const char* what) {
    return count > most ? fmt::format("{} more {} are not listed here.", count - most, what) : "";
}

std::size_t shown_rows(std::size_t count, std::size_t most) {
    return count > most ? most + 1 : count;
}

std::size_t columns_in(double width_mm) {
    return std::max<std::size_t>(1, static_cast<std::size_t>(width_mm / column_mm));
}

std::vector<Row> rows_of(const JudgedTrace& judged, const Zone& zone) {
    std::vector<Row> rows;
    for (std::size_t i = 0; i < std::min(judged.events.size(), most_events); ++i)
        rows.push_back({event_number(i), text_of(judged.events[i], zone)});
    if (std::string text = left_out(judged.events.size(), most_events, "events"); !text.empty())
        rows.push_back({"", std::move(text)});
    for (const auto& [number, spell] : longest_spells(judged, most_spells))
        rows.push_back({number, text_of(spell, zone)});
    const std::size_t spells = numbered_spells(judged).size();
    if (std::string text = left_out(spells, most_spells, "shorter spells"); !text.empty())
        rows.push_back({"", std::move(text)});
    return rows;
}

} // namespace

double happenings_key_height_mm(const JudgedTrace& judged, double width_mm) {
    const std::size_t rows = shown_rows(judged.events.size(), most_events) +
                             shown_rows(numbered_spells(judged).size(), most_spells);
    const std::size_t columns = columns_in(width_mm);
    return static_cast<double>((rows + columns - 1) / columns) * row_mm;
}

Group draw_happenings_key(Point top_left, double width_mm, const JudgedTrace& judged,
                          const Zone& zone, const TextWidth& text_width) {
    Group group{"Events and spells, by their numbers", {}};
    const std::vector<Row> rows = rows_of(judged, zone);
    const std::size_t columns = columns_in(width_mm);
    const std::size_t per_column = (rows.size() + columns - 1) / columns;
    const double step_mm = (width_mm + between_mm) / static_cast<double>(columns);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const double left = top_left.x_mm + static_cast<double>(i / per_column) * step_mm;
        const double baseline =
            top_left.y_mm + static_cast<double>(i % per_column) * row_mm + small_size_mm;
        if (!rows[i].number.empty())
            group.items.emplace_back(
                Text{{left, baseline}, rows[i].number, small_size_mm, Anchor::start, true, ink});
        group.items.emplace_back(Text{{left + number_mm, baseline},
                                      shortened(rows[i].text, step_mm - between_mm - number_mm,
                                                small_size_mm, false, text_width),
                                      small_size_mm,
                                      Anchor::start,
                                      false,
                                      ink});
    }
    return group;
}

} // namespace quaycell
