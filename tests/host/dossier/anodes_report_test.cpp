#include "a_report.h"

#include "judging/anode_document.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

AnodeEntryRow entry(std::int64_t number, const char* kind, const char* day, double mass_kg) {
    AnodeEntryRow row;
    row.number = number;
    row.at = instant(day);
    row.kind = kind;
    row.place = "rudder <b>";
    if (row.kind == "fitted") row.alloy = "zinc";
    row.mass_kg = mass_kg;
    row.author = "Ann Invented";
    row.written_at = row.at;
    return row;
}

/// Invented; the readings are of 2026-05-04.
std::vector<AnodeEntryRow> two_entries() {
    return {entry(1, "fitted", "2026-01-01T12:00:00Z", 2),
            entry(2, "weighed", "2026-04-11T12:00:00Z", 1.5)};
}

ReportSources with_log(const std::vector<AnodeEntryRow>& entries,
                       std::vector<std::string> said = {"--hull=steel"}) {
    ReportSources sources = sources_of_readings(std::move(said));
    sources.files.push_back(described(anodes_name, anode_document({"", entries})));
    return sources;
}

std::string page_of(const ReportSources& sources) {
    const auto options = parse_said_options(sources.with.said, options_name).value();
    return make_report(options, ReportFormat::html, sources).value().page;
}

bool says(const std::string& page, std::string_view words) {
    return page.find(words) != std::string::npos;
}

} // namespace

TEST_CASE("a report without a log of the anodes says so in one line") {
    const std::string page = page_of(sources_of_readings());
    CHECK(says(page, "Log of the anodes"));
    CHECK(says(page, "the readings come from a file, without an archive"));
    CHECK_FALSE(says(page, "What was fitted and weighed"));
}

TEST_CASE("what was weighed stands among the facts, what is thought of it among the opinions") {
    const std::string page = page_of(with_log(two_entries()));
    const auto weighed = page.find("weighed: 1.5 kg");
    const auto opinion = page.find("Opinion and advice");
    const auto finding = page.find("It wastes as anodes do");
    const auto to_buy = page.find("Anodes to buy");
    REQUIRE(finding != std::string::npos);
    CHECK(weighed < opinion);
    CHECK(opinion < finding);
    CHECK(finding < to_buy);
    CHECK(to_buy != std::string::npos);
    // Half of 2 kg, by 500 g in 100 days, is gone 200 days after the first of January.
    CHECK(says(page, "half gone: renew it"));
    CHECK(says(page, "rudder &lt;b&gt;"));
    CHECK_FALSE(says(page, "rudder <b>"));
}

TEST_CASE("shares are those of a day that the report states, never of today") {
    CHECK(
        says(page_of(with_log(two_entries())), "left on 2026-05-04, the day of the last reading"));
    auto later = two_entries();
    later.push_back(entry(3, "weighed", "2026-06-01T12:00:00Z", 1.3));
    CHECK(says(page_of(with_log(later)), "left on 2026-06-01, the day of the last entry"));
    const ReportSources sources = with_log(two_entries());
    auto options = parse_said_options(sources.with.said, options_name).value();
    options.inspection_file = {"visit.toml", "[inspection]\ndate = 2026-05-12\n"};
    CHECK(says(make_report(options, ReportFormat::html, sources).value().page,
               "left on 2026-05-12, the date of the report"));
}

TEST_CASE("a struck entry is shown with its reason and does not count") {
    auto rows = two_entries();
    rows.push_back(entry(3, "weighed", "2026-04-12T12:00:00Z", 0.1));
    rows.push_back(entry(4, "strike", "2026-04-13T12:00:00Z", 0));
    rows.back().about = 3;
    rows.back().text = "wrong scale";
    const std::string page = page_of(with_log(rows));
    CHECK(says(page, "does not count: wrong scale"));
    CHECK(says(page, "1.5 kg, 2026-04-11"));
}

TEST_CASE("a haul-out without anodes to look at there is refused") {
    const ReportSources sources = sources_of_readings({"--hull=steel", "--haul-out=2027-03-01"});
    const auto options = parse_said_options(sources.with.said, options_name).value();
    const auto refused = make_report(options, ReportFormat::html, sources);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().where == "--haul-out");
}

TEST_CASE("a haul-out that was over on the day of the report is refused") {
    const ReportSources sources =
        with_log(two_entries(), {"--hull=steel", "--haul-out=2026-03-01"});
    const auto options = parse_said_options(sources.with.said, options_name).value();
    const auto refused = make_report(options, ReportFormat::html, sources);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::wrong_usage);
    CHECK(refused.error().where == "--haul-out");
    CHECK(says(page_of(with_log(two_entries(), {"--hull=steel", "--haul-out=2026-06-01"})),
               "No anode is to be bought for the haul-out of 2026-06-01"));
}

TEST_CASE("what was computed of the anodes follows from their log, and a changed one is found") {
    AReport report = report_of(with_log(two_entries(), {"--hull=steel", "--haul-out=2027-03-20"}));
    const auto finding = [&](const std::string& name) {
        const auto found = compute_again(report.bytes, report.evidence);
        return *std::ranges::find(found, name, &EvidenceFinding::name);
    };
    CHECK(finding("anodes-judgement.json, computed again").agreement == Agreement::agrees);
    CHECK(finding("the report's file").agreement == Agreement::agrees);
    for (Attachment& each : report.evidence.attachments)
        if (each.name == anodes_name) {
            std::string bytes = each.bytes.at_hand();
            bytes.replace(bytes.find("\"mass_kg\": 1.5"), 14, "\"mass_kg\": 1.6");
            each.bytes = bytes;
        }
    CHECK(finding("anodes-judgement.json, computed again").agreement == Agreement::differs);
    CHECK(finding("the report's file").agreement == Agreement::differs);
}
