#include "a_report.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("the same readings give the same bytes, whatever the time is") {
    const auto one =
        report_of(sources_of_readings({"--hull=steel"}, instant("2026-06-01T00:00:00Z")));
    const auto two =
        report_of(sources_of_readings({"--hull=steel"}, instant("2031-01-01T00:00:00Z")));
    CHECK(one.bytes == two.bytes);
}

TEST_CASE("a clock that the readings lie ahead of is told and kept") {
    const Instant clock = instant("2026-05-04T05:01:00Z");
    const auto report = report_of(sources_of_readings({"--hull=steel"}, clock));
    CHECK(bytes_of(report, judgement_name).find("lay in the future when this was judged") !=
          std::string::npos);
    CHECK(parse_made_with(bytes_of(report, options_name)).value().clock == clock);
}

TEST_CASE("clocks that differ by no more than an hour are not told") {
    const auto report =
        report_of(sources_of_readings({"--hull=steel"}, instant("2026-05-04T05:02:00Z")));
    CHECK(bytes_of(report, judgement_name).find("in the future") == std::string::npos);
    CHECK_FALSE(parse_made_with(bytes_of(report, options_name)).value().clock);
}

TEST_CASE("the clocks of a zone go with the report, about the time of its readings") {
    const auto report = report_of(sources_of_readings({"--hull=steel", "--zone=Europe/Berlin"}));
    const auto zone = parse_made_with(bytes_of(report, options_name)).value().zone;
    // Directive 2000/84/EC: stretches begin on 2025-03-30, 2025-10-26, 2026-03-29, 2026-10-25 and
    // 2027-03-28 within 400 days.
    REQUIRE(zone.size() == 5);
    CHECK(zone[2].from == instant("2026-03-29T01:00:00Z"));
    CHECK(zone[2].ahead == std::chrono::hours{2});
    CHECK(zone[2].abbreviation == "CEST");
}

TEST_CASE("a report is told by the ending of its name, one that is there by its first bytes") {
    CHECK(format_of_report("a.pdf").value() == ReportFormat::pdf);
    CHECK(format_of_report("a.html").value() == ReportFormat::html);
    CHECK(format_of_report("a.txt").error().code == ErrorCode::wrong_usage);
    CHECK(format_of_report("").error().where == "--output");
    CHECK(format_of_bytes("%PDF-1.7") == ReportFormat::pdf);
    CHECK(format_of_bytes("<!DOCTYPE html>") == ReportFormat::html);
}

TEST_CASE("all that goes with a page of HTML stands beside it, with list and signature") {
    const auto sources = sources_of_readings();
    const auto options = parse_said_options(sources.with.said, options_name).value();
    const auto made = make_report(options, ReportFormat::html, sources).value();
    const auto report = packed(made, ReportFormat::html, "s").value();
    CHECK(report.bytes == made.page);
    CHECK(report.beside.size() == made.attachments.size() + 2);
    CHECK(named(report.beside, manifest_name)->bytes.at_hand() == made.manifest);
    CHECK(named(report.beside, signature_name)->bytes.at_hand() == "s");
}

TEST_CASE("what is wrong in a file is told by the name that the user gave it") {
    const auto sources = sources_of_readings();
    auto options = parse_said_options(sources.with.said, options_name).value();
    options.inspection_file = {"tern/visit.toml", "[inspection]\ndat = 1\n"};
    const auto refused = make_report(options, ReportFormat::pdf, sources);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().where == "tern/visit.toml:2");
}
