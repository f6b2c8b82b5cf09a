// The part of the archive that keeps surveys.
#include "archive/archive.h"

#include "archive/stored_time.h"

#include <cmath>

namespace quaycell {

namespace {

constexpr double uv_per_mv = 1000;
constexpr double kohm_per_mohm = 1000;
constexpr double permille = 1000;

std::int64_t in_thousandths(double value, double thousand) {
    return std::llround(value * thousand);
}
double from_thousandths(std::int64_t value, double thousand) {
    return static_cast<double>(value) / thousand;
}

} // namespace

Result<std::int64_t> Archive::put_survey(const SurveyRow& survey,
                                         std::span<const SurveyPointRow> points) {
    auto transaction = sqlite::Transaction::begin(database_);
    if (!transaction) return transaction.error();
    auto insert = database_.prepare(
        "INSERT INTO survey (begun_ms, boat, author, device, instrument, input_kohm, "
        "reference_instrument, cell_scale, cell_serial, cell_travel, criterion, checksum) VALUES "
        "(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, "
        "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11))");
    if (!insert) return insert.error();
    insert->bind(to_ms(survey.begun_at)).bind(survey.boat).bind(survey.author);
    insert->bind(std::int64_t{survey.device}).bind(survey.instrument);
    insert->bind(in_thousandths(survey.input_resistance_mohm, kohm_per_mohm));
    insert->bind(survey.reference_instrument).bind(survey.cell_scale).bind(survey.cell_serial);
    insert->bind(survey.cell_travel).bind(survey.criterion);
    if (const auto done = insert->run(); !done) return done.error();
    const auto number = database_.integer("SELECT last_insert_rowid()");
    if (!number) return number;
    for (const SurveyPointRow& point : points)
        if (const auto done = put_survey_point(*number, point); !done) return done.error();
    if (const auto done = transaction->commit(); !done) return done.error();
    return number;
}

Result<Done> Archive::put_survey_point(std::int64_t survey, const SurveyPointRow& point) {
    auto insert = database_.prepare(
        "INSERT INTO survey_point (survey, name, role, metal, side, forward_permille, checksum) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6, row_checksum(?1, ?2, ?3, ?4, ?5, ?6))");
    if (!insert) return insert.error();
    insert->bind(survey).bind(point.name).bind(point.role).bind(point.metal).bind(point.side);
    insert->bind(in_thousandths(point.forward_share, permille));
    return insert->run();
}

Result<std::int64_t> Archive::put_survey_entry(std::int64_t survey, const SurveyEntryRow& entry) {
    auto insert = database_.prepare(
        "INSERT INTO survey_entry (survey, at_ms, kind, point, shore, anodes, potential_uv, "
        "spread_uv, settled, ac_uv, about, text, live_readings, checksum) VALUES (?1, ?2, ?3, ?4, "
        "?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, "
        "row_checksum(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13))");
    if (!insert) return insert.error();
    insert->bind(survey).bind(to_ms(entry.at)).bind(entry.kind).bind(entry.point);
    insert->bind(entry.shore).bind(entry.anodes);
    insert->bind(in_thousandths(entry.potential_mv, uv_per_mv));
    insert->bind(in_thousandths(entry.spread_mv, uv_per_mv)).bind(std::int64_t{entry.settled});
    insert->bind(in_thousandths(entry.ac_mv, uv_per_mv)).bind(entry.about).bind(entry.text);
    insert->bind(std::span<const std::uint8_t>(entry.live_readings));
    if (const auto done = insert->run(); !done) return done.error();
    return database_.integer("SELECT last_insert_rowid()");
}

Result<std::vector<SurveyRow>> Archive::surveys() {
    auto rows = database_.prepare(
        "SELECT id, begun_ms, boat, author, device, instrument, input_kohm, reference_instrument, "
        "cell_scale, cell_serial, cell_travel, criterion FROM survey ORDER BY id");
    if (!rows) return rows.error();
    std::vector<SurveyRow> surveys;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return surveys;
        surveys.push_back({rows->integer(0), from_ms(rows->integer(1)), rows->text(2),
                           rows->text(3), static_cast<std::uint32_t>(rows->integer(4)),
                           rows->text(5), from_thousandths(rows->integer(6), kohm_per_mohm),
                           rows->text(7), rows->text(8), rows->text(9), rows->text(10),
                           rows->text(11)});
    }
}

Result<std::vector<SurveyPointRow>> Archive::survey_points(std::int64_t survey) {
    auto rows = database_.prepare("SELECT name, role, metal, side, forward_permille FROM "
                                  "survey_point WHERE survey = ? ORDER BY id");
    if (!rows) return rows.error();
    rows->bind(survey);
    std::vector<SurveyPointRow> points;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return points;
        points.push_back({rows->text(0), rows->text(1), rows->text(2), rows->text(3),
                          from_thousandths(rows->integer(4), permille)});
    }
}

Result<std::vector<SurveyEntryRow>> Archive::survey_entries(std::int64_t survey) {
    auto rows = database_.prepare(
        "SELECT id, at_ms, kind, point, shore, anodes, potential_uv, spread_uv, settled, ac_uv, "
        "about, text, live_readings FROM survey_entry WHERE survey = ? ORDER BY id");
    if (!rows) return rows.error();
    rows->bind(survey);
    std::vector<SurveyEntryRow> entries;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return entries;
        entries.push_back({rows->integer(0), from_ms(rows->integer(1)), rows->text(2),
                           rows->text(3), rows->text(4), rows->text(5),
                           from_thousandths(rows->integer(6), uv_per_mv),
                           from_thousandths(rows->integer(7), uv_per_mv), rows->integer(8) != 0,
                           from_thousandths(rows->integer(9), uv_per_mv), rows->integer(10),
                           rows->text(11), rows->blob(12)});
    }
}

} // namespace quaycell
