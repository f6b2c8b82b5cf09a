#include "judging/kept_survey.h"

#include "judging/live_point.h"
#include "made_live.h"

using namespace quaycell;
using quaycell::testing::live_facts;
using quaycell::testing::MadeLive;

namespace {

constexpr std::uint32_t calibrated_again_s = 2000;

/// The same logger, compared anew: its input was found to be off by 7 mV.
LoggerFacts recalibrated() {
    LoggerFacts facts = live_facts();
    facts.calibration->unix_s = calibrated_again_s;
    facts.calibration->a.offset_uv = 7000;
    return facts;
}

SurveyEntryRow reading(std::int64_t number, std::uint32_t at_s) {
    SurveyEntryRow row;
    row.number = number;
    row.at = from_unix_s(at_s);
    row.kind = "reading";
    row.point = "main bus";
    row.shore = "unplugged";
    row.anodes = "connected";
    row.potential_mv = -1; // what was shown does not count where the raw codes are kept
    std::vector<wire::LiveReading> live;
    for (std::uint32_t i = 0; i < 10; ++i)
        live.push_back(MadeLive::reading_of({-900}, 100 + i));
    row.live_readings = to_bytes(live);
    return row;
}

KeptSurvey kept_with(std::vector<LoggerFacts> loggers) {
    SurveyRow row;
    row.cell_travel = "one-place";
    row.cell_scale = "agcl/seawater";
    const std::vector<SurveyPointRow> points{{"main bus", "hull", "", "", 0}};
    const std::vector<SurveyEntryRow> entries{reading(1, calibrated_again_s - 1),
                                              reading(2, calibrated_again_s)};
    auto kept = survey_from(row, points, entries, std::move(loggers), "survey 1");
    REQUIRE(kept);
    return std::move(*kept);
}

} // namespace

TEST_CASE("each reading of a survey is made by the calibration that the logger had then") {
    const auto entries = kept_with({live_facts(), recalibrated()}).survey.entries;
    const double moved_mv = entries[1].potential_mv - entries[0].potential_mv;
    CHECK(std::abs(moved_mv) == doctest::Approx(7).epsilon(0.001));
}

TEST_CASE("readings from before the first calibration that is known are made by that one") {
    const auto entries = kept_with({recalibrated()}).survey.entries;
    CHECK(entries[0].potential_mv == entries[1].potential_mv);
    CHECK(entries[0].potential_mv != -1);
}

TEST_CASE("where nothing is known of the logger the readings stand as they were shown") {
    CHECK(kept_with({}).survey.entries[0].potential_mv == -1);
}
