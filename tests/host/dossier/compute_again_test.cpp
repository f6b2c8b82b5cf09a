#include "a_report.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

Agreement overall(const AReport& report) {
    return Verification{"", compute_again(report.bytes, report.evidence)}.overall();
}

EvidenceFinding finding(const AReport& report, const std::string& name) {
    const auto findings = compute_again(report.bytes, report.evidence);
    const auto found = std::ranges::find(findings, name, &EvidenceFinding::name);
    REQUIRE(found != findings.end());
    return *found;
}

void replace(AReport& report, const char* name, const std::string& old, const std::string& by) {
    for (Attachment& each : report.evidence.attachments)
        if (each.name == name) {
            std::string bytes = each.bytes.at_hand();
            REQUIRE(bytes.find(old) != std::string::npos);
            each.bytes = bytes.replace(bytes.find(old), old.size(), by);
        }
}

} // namespace

TEST_CASE("a report follows from what it carries") {
    CHECK(overall(report_of(sources_of_readings())) == Agreement::agrees);
}

TEST_CASE("readings that lay in the future once do no harm when that time has come") {
    const auto report =
        report_of(sources_of_readings({"--hull=steel"}, instant("2026-05-03T00:00:00Z")));
    REQUIRE(bytes_of(report, judgement_name).find("lay in the future") != std::string::npos);
    CHECK(overall(report) == Agreement::agrees);
}

TEST_CASE("a clock that was stated without need is found") {
    auto report = report_of(sources_of_readings());
    replace(report, options_name, "\"clock_ms\": null", "\"clock_ms\": 1893456000000");
    CHECK(finding(report, "options.json, computed again").agreement == Agreement::differs);
}

TEST_CASE("what another version made and this one makes otherwise is not said to be forged") {
    auto sources = sources_of_readings();
    sources.with.program = "77.1";
    auto report = report_of(sources);
    CHECK(overall(report) == Agreement::agrees);
    replace(report, judgement_name, "\"verdict\": \"protected\"", "\"verdict\": \"undecided\"");
    report.bytes += ' ';
    const auto judgement = finding(report, "judgement.json, computed again");
    CHECK(judgement.agreement == Agreement::not_compared);
    CHECK(judgement.words.find("it comes out otherwise here, and cannot be told from a change: "
                               "version 77.1 made this report, and this is version " +
                               program_version()) == 0);
    CHECK(judgement.words.find("the report states \"verdict\": \"undecided\"") !=
          std::string::npos);
    CHECK(finding(report, "the report's file").agreement == Agreement::not_compared);
    CHECK(overall(report) == Agreement::not_compared);
}

TEST_CASE("an option that only another version knows is not said to be forged") {
    auto report = report_of(sources_of_readings());
    replace(report, options_name, "--hull=steel", "--keel=iron");
    CHECK(finding(report, "computing again").agreement == Agreement::differs);
    replace(report, options_name, "\"program\": \"" + program_version(), "\"program\": \"77.1");
    const auto found = finding(report, "computing again");
    CHECK(found.agreement == Agreement::not_compared);
    CHECK(found.words.find("version 77.1 made this report") != std::string::npos);
}

TEST_CASE("the same change in a report of this version is one") {
    auto report = report_of(sources_of_readings());
    replace(report, judgement_name, "\"verdict\": \"protected\"", "\"verdict\": \"undecided\"");
    CHECK(finding(report, "judgement.json, computed again").agreement == Agreement::differs);
    report.bytes += ' ';
    CHECK(finding(report, "the report's file").agreement == Agreement::differs);
}

TEST_CASE("clocks that other tables of zones make are told, and everything else is compared") {
    auto sources = sources_of_readings({"--hull=steel", "--zone=Europe/Berlin"});
    sources.with.zone = {{Instant{}, std::chrono::hours{3}, "DST"}};
    const auto report = report_of(sources);
    const auto zone = finding(report, "time zone");
    CHECK(zone.agreement == Agreement::not_compared);
    CHECK(zone.words.find("DST, UTC+3") != std::string::npos);
    CHECK(zone.words.find("CEST, UTC+2") != std::string::npos);
    CHECK(finding(report, "the report's file").agreement == Agreement::agrees);
}

TEST_CASE("a zone that is not known here is shown as the report says that it was") {
    auto sources = sources_of_readings({"--hull=steel", "--zone=Sea/Atlantis"});
    sources.with.zone = {{Instant{}, std::chrono::hours{-1}, "ATL"}};
    const auto report = report_of(sources);
    CHECK(finding(report, "time zone").words.find("do not know the zone") != std::string::npos);
    CHECK(finding(report, "the report's file").agreement == Agreement::agrees);
}

TEST_CASE("pages drawn with other fonts are not compared, what was computed is") {
    auto sources = sources_of_readings();
    sources.with.drawn_with = std::string(64, '0');
    auto report = report_of(sources);
    report.bytes += ' ';
    CHECK(finding(report, "the report's file").agreement == Agreement::not_compared);
    CHECK(finding(report, "judgement.json, computed again").agreement == Agreement::agrees);
}

TEST_CASE("a report without options, origin or list cannot be computed, and that is said") {
    for (const char* name : {options_name, origin_name, manifest_name, source_name}) {
        CAPTURE(name);
        auto report = report_of(sources_of_readings());
        std::erase_if(report.evidence.attachments,
                      [&](const Attachment& each) { return each.name == name; });
        const auto found = finding(report, "computing again");
        CHECK(found.agreement == Agreement::differs);
        CHECK(found.words.find(name) != std::string::npos);
    }
}
