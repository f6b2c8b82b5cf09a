#include "judging/survey_start.h"

#include "judging/author.h"
#include "judging/device_name.h"
#include "judging/survey_answer.h"
#include "survey/settled.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr const char* hull_point = "main bonding";

/// Those of the vessel file, then those of the command line; the bonding itself first where none of
/// them is it.
Result<std::vector<SurveyPoint>> points_from(const SurveyStart& start,
                                             const std::optional<Vessel>& vessel) {
    std::vector<SurveyPoint> points;
    if (vessel) {
        for (const PointFacts& facts : vessel->points) {
            SurveyPoint point{facts.name, PointRole::hull, "", facts.place};
            if (!facts.metal.empty()) {
                point.role = facts.bonded ? PointRole::bonded : PointRole::unbonded;
                point.metal =
                    std::ranges::find(vessel->metals, facts.metal, &MetalFacts::name)->kind;
            }
            points.push_back(std::move(point));
        }
    }
    for (const std::string& typed : start.points) {
        auto point = typed_point(typed);
        if (!point) return point.error();
        points.push_back(std::move(point).value());
    }
    if (std::ranges::find(points, PointRole::hull, &SurveyPoint::role) == points.end())
        points.insert(points.begin(), {hull_point, PointRole::hull, "", {}});
    for (auto point = points.begin(); point != points.end(); ++point)
        if (std::ranges::find(points.begin(), point, point->name, &SurveyPoint::name) != point)
            return Error{ErrorCode::wrong_usage,
                         fmt::format("two points have the name \"{}\"", point->name), "",
                         "Give each a name of its own"};
    return points;
}

} // namespace

Result<KeptSurvey> begin_survey(const SurveyStart& start, const std::optional<LoggerFacts>& logger,
                                Archive& archive, const std::string& archive_file) {
    if (start.cell_travel.empty())
        return Error{
            ErrorCode::wrong_usage, "nobody said whether the cell stays where it hangs",
            "--cell-travel",
            "Say one-place or moved: readings at bonded metals then have to agree within 5 "
            "mV or within 50 mV"};
    const auto travel = cell_travel_named(start.cell_travel);
    if (!travel) return travel.error();
    const auto boat = boat_from(start.boat);
    if (!boat) return boat.error();
    std::optional<Vessel> vessel;
    if (start.boat.vessel_file.is_given()) {
        auto loaded = load_vessel(start.boat.vessel_file, boat->criteria);
        if (!loaded) return loaded.error();
        vessel = std::move(loaded).value();
    }
    const auto points = points_from(start, vessel);
    if (!points) return points.error();
    SurveyRow row;
    row.begun_at = written_now();
    row.boat = boat->name;
    row.author = author_from(start.author);
    row.device = logger ? logger->device_id : 0;
    row.instrument = logger ? "logger " + device_name(logger->device_id) : start.multimeter;
    row.input_resistance_mohm = start.input_resistance_mohm;
    row.reference_instrument = start.reference_instrument;
    row.cell_scale = name_of(boat->cell_scale);
    row.cell_serial = start.cell.empty() ? boat->cell_serial : start.cell;
    row.cell_travel = name_of(*travel);
    row.criterion = logger ? settled_criterion() + ", and the leads then found closed"
                           : "a multimeter that stands still, as whoever reads it says";
    std::vector<SurveyPointRow> rows;
    for (const SurveyPoint& point : *points)
        rows.push_back(row_of(point));
    const auto number = archive.put_survey(row, rows);
    if (!number) return number.error();
    row.number = *number;
    std::vector<LoggerFacts> loggers;
    if (logger) loggers.push_back(*logger);
    return survey_from(row, rows, {}, std::move(loggers), archive_file);
}

namespace {

/// What is said again at a resume has to be what the survey was begun with.
std::optional<Error> contradiction(const SurveyStart& said, bool logger_named,
                                   const KeptSurvey& kept, const std::string& archive_file) {
    struct Said {
        bool is_said;
        std::string now;
        std::string then;
        const char* what;
    };
    const SurveyRow& row = kept.row;
    const auto boat = boat_from(said.boat);
    if (!boat) return boat.error();
    const auto number = [](double value) { return fmt::format("{:g}", value); };
    const auto named = [](const std::string& name) {
        return name.empty() ? std::string("a boat without a name") : name;
    };
    const Said all[] = {
        {said.boat.vessel_file.is_given(), named(boat->name), named(row.boat), "is of"},
        {!said.multimeter.empty(), said.multimeter, row.instrument, "was read with"},
        {logger_named && row.device == 0, "a logger", row.instrument, "was read with"},
        {said.input_resistance_mohm > 0, number(said.input_resistance_mohm),
         number(row.input_resistance_mohm), "was read with an input resistance in Mohm of"},
        {!said.cell.empty(), said.cell, row.cell_serial, "was read with cell"},
        {!said.cell_travel.empty(), said.cell_travel, row.cell_travel, "was read with the cell"},
        {!said.reference_instrument.empty(), said.reference_instrument, row.reference_instrument,
         "has as its reference instrument"}};
    for (const Said& each : all)
        if (each.is_said && each.now != each.then)
            return Error{ErrorCode::refused,
                         fmt::format("survey {} {} {}, not {}", row.number, each.what,
                                     each.then.empty() ? "nothing" : each.then, each.now),
                         archive_file,
                         "Go on as it was begun, or begin another survey, without --resume."};
    return std::nullopt;
}

} // namespace

Result<KeptSurvey> survey_to_resume(std::int64_t number, const SurveyStart& said, bool logger_named,
                                    Archive& archive, const std::string& archive_file) {
    auto kept = load_survey(archive, number, archive_file);
    if (!kept) return kept;
    if (is_finished(kept->survey))
        return Error{ErrorCode::refused, fmt::format("survey {} is finished", kept->row.number),
                     archive_file, "Begin another one, without --resume."};
    if (auto error = contradiction(said, logger_named, *kept, archive_file)) return *error;
    return kept;
}

std::optional<Error> other_logger(const KeptSurvey& kept, std::uint32_t device,
                                  const std::string& archive_file) {
    if (device == kept.row.device) return std::nullopt;
    return Error{ErrorCode::refused,
                 fmt::format("survey {} was read with {}, not logger {}", kept.row.number,
                             kept.row.instrument, device_name(device)),
                 archive_file, "Go on with the same logger, or begin another survey."};
}

Result<Done> keep_logger(Archive& archive, const wire::HelloReply& hello,
                         const LoggerFacts& facts) {
    const Instant now = written_now();
    if (auto put = archive.put_logger(hello, facts.circuit, now); !put) return put;
    if (!facts.calibration) return Done{};
    return archive.put_calibration(facts.device_id, *facts.calibration, now);
}

} // namespace quaycell
