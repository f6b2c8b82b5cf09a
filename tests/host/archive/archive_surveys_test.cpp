#include "archive/archive.h"
#include "archive/temporary_folder.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

const Instant monday = parse_instant("2026-05-04T06:00:00Z").value();

SurveyEntryRow reading(const char* point) {
    return {0,   monday, "reading", point, "plugged", "connected",       -870.125,
            1.5, true,   12.25,     3,     "a text",  {0x57, 0x00, 0xFF}};
}

} // namespace

TEST_CASE("a survey comes back as it was kept, each entry under a number of its own") {
    const TemporaryFolder folder;
    const SurveyRow head{0,    monday, "Tern",      "Ann",  77,      "logger 0000004d",
                         10.5, "DMM",  "agcl/open", "AG-7", "moved", "10 within 2 mV"};
    const SurveyPointRow point{"rudder", "bonded", "stainless-austenitic", "port", 0.125};
    {
        auto archive = Archive::open(folder / "a", OpenMode::write_create);
        REQUIRE(archive);
        CHECK(archive->put_survey(head, std::span(&point, 1)).value() == 1);
        CHECK(archive->put_survey(head, {}).value() == 2);
        CHECK(archive->put_survey_entry(1, reading("rudder")).value() == 1);
        CHECK(archive->put_survey_entry(2, reading("other")).value() == 2);
        CHECK(archive->put_survey_entry(1, reading("keel")).value() == 3);
        CHECK(archive->put_survey_point(1, {"keel", "hull", "", "", 0}));
    }
    auto archive = Archive::open(folder / "a", OpenMode::read);
    REQUIRE(archive);
    const auto surveys = archive->surveys();
    REQUIRE(surveys);
    REQUIRE(surveys->size() == 2);
    const SurveyRow& kept = surveys->front();
    CHECK(kept.number == 1);
    CHECK(kept.begun_at == monday);
    CHECK(kept.device == 77);
    CHECK(kept.input_resistance_mohm == 10.5);
    CHECK(kept.boat + kept.author + kept.instrument + kept.reference_instrument ==
          "TernAnnlogger 0000004dDMM");
    CHECK(kept.cell_scale + kept.cell_serial + kept.cell_travel + kept.criterion ==
          "agcl/openAG-7moved10 within 2 mV");
    const auto points = archive->survey_points(1);
    REQUIRE(points);
    REQUIRE(points->size() == 2);
    CHECK(points->at(0).name + points->at(0).role + points->at(0).metal + points->at(0).side ==
          "rudderbondedstainless-austeniticport");
    CHECK(points->at(0).forward_share == 0.125);
    CHECK(points->at(1).name == "keel");
    const auto entries = archive->survey_entries(1);
    REQUIRE(entries);
    REQUIRE(entries->size() == 2);
    const SurveyEntryRow& entry = entries->front();
    CHECK(entry.number == 1);
    CHECK(entry.at == monday);
    CHECK(entry.kind + entry.point + entry.shore + entry.anodes + entry.text ==
          "readingrudderpluggedconnecteda text");
    CHECK(entry.potential_mv == -870.125);
    CHECK(entry.spread_mv == 1.5);
    CHECK(entry.settled);
    CHECK(entry.ac_mv == 12.25);
    CHECK(entry.about == 3);
    CHECK(entry.live_readings == std::vector<std::uint8_t>{0x57, 0x00, 0xFF});
    CHECK(entries->at(1).point == "keel");
}
