#include "chart/happenings_key.h"

#include "chart/axis.h"
#include "chart/listed.h"
#include "chart/style.h"
#include "chart/text.h"
#include "chart/told.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr double row_mm = small_size_mm * line_height;
constexpr double column_mm = 78;      ///< at least: of one column of the key
constexpr double least_number_mm = 6; ///< of which the number takes
constexpr double after_number_mm = 1.2;
constexpr double between_mm = 2; ///< columns
constexpr std::size_t most_events = 40;
constexpr std::size_t most_spells = 20;

std::string text_of(const Event& event, const Zone& zone) {
    std::string text = fmt::format("{} {}", to_words(event.time, zone), name_of(event.kind));
    if (std::isfinite(event.change_mv))
        text += fmt::format(", {}{} mV", event.change_mv > 0 ? "+" : "",
                            number_text(event.change_mv, 0));
    return text;
}

std::string duration_text(Milliseconds lasting) {
    return to_text(std::chrono::duration_cast<std::chrono::seconds>(lasting));
}

/// Without the seconds where a spell is told in minutes: what comes after has to have room.
std::string beginning_of(const Spell& spell, const Zone& zone) {
    std::string text = to_words(spell.from, zone);
    constexpr std::size_t minutes_end = sizeof "2026-05-04 08:00" - 1;
    constexpr std::size_t seconds_length = sizeof ":00" - 1;
    if (spell.to - spell.from >= std::chrono::minutes{1}) text.erase(minutes_end, seconds_length);
    return text;
}

std::string text_of(const Spell& spell, double expanded_uncertainty_mv, const Zone& zone) {
    std::string text = fmt::format("{} {} {}", beginning_of(spell, zone), name_of(spell.verdict),
                                   duration_text(spell.to - spell.from));
    if (std::isfinite(spell.worst_mv))
        text += fmt::format(", {} mV", told_mv(spell.worst_mv, expanded_uncertainty_mv));
    return text;
}

void add_events(std::vector<KeyRow>& rows, const std::vector<Event>& all,
                const std::vector<std::string>& all_numbers, const Zone& zone) {
    std::vector<Event> events;
    std::vector<std::string> numbers;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all_numbers[i].empty()) continue;
        events.push_back(all[i]);
        numbers.push_back(all_numbers[i]);
    }
    const Listed listed = largest_events(events, most_events);
    for (const std::size_t row : listed.rows)
        rows.push_back({numbers[row], text_of(events[row], zone)});
    if (listed.left_out > 0)
        rows.push_back({"", fmt::format("not listed: {} smaller events", listed.left_out)});
    if (const std::size_t outside = all.size() - events.size(); outside > 0)
        rows.push_back({"", fmt::format("not shown: {} outside the readings", outside)});
}

void add_spells(std::vector<KeyRow>& rows, const std::vector<NumberedSpell>& spells,
                double expanded_uncertainty_mv, const Zone& zone) {
    const Listed listed = longest_spells(spells, most_spells);
    for (const std::size_t row : listed.rows)
        rows.push_back(
            {spells[row].number, text_of(spells[row].spell, expanded_uncertainty_mv, zone)});
    if (listed.left_out > 0)
        rows.push_back({"", fmt::format("not listed: {} shorter spells, {} together",
                                        listed.left_out, duration_text(listed.left_out_lasting))});
}

std::size_t columns_in(double width_mm) {
    return std::max<std::size_t>(1, static_cast<std::size_t>(width_mm / column_mm));
}

std::size_t rows_per_column(std::size_t rows, double width_mm) {
    const std::size_t columns = columns_in(width_mm);
    return (rows + columns - 1) / columns;
}

} // namespace

std::vector<KeyRow> happenings_key(const JudgedTrace& judged,
                                   const std::vector<std::string>& event_numbers,
                                   double expanded_uncertainty_mv, const Zone& zone) {
    std::vector<KeyRow> rows;
    add_events(rows, judged.events, event_numbers, zone);
    add_spells(rows, numbered_spells(judged), expanded_uncertainty_mv, zone);
    return rows;
}

double happenings_key_height_mm(const std::vector<KeyRow>& rows, double width_mm) {
    return static_cast<double>(rows_per_column(rows.size(), width_mm)) * row_mm;
}

Group draw_happenings_key(Point top_left, double width_mm, const std::vector<KeyRow>& rows,
                          const TextWidth& text_width) {
    Group group{"Events and spells, by their numbers", {}};
    double number_mm = least_number_mm;
    for (const KeyRow& row : rows)
        number_mm =
            std::max(number_mm, text_width(row.number, small_size_mm, true) + after_number_mm);
    const std::size_t per_column = rows_per_column(rows.size(), width_mm);
    const double step_mm = (width_mm + between_mm) / static_cast<double>(columns_in(width_mm));
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
