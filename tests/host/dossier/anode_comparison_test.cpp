#include "dossier/anode_comparison.h"

#include <doctest/doctest.h>
#include <vector>

using namespace quaycell;

namespace {

AnodeEntryRow entry(std::int64_t number, const char* kind, double mass_kg) {
    AnodeEntryRow row;
    row.number = number;
    row.at = *parse_instant("2026-05-01T12:00:00Z") + std::chrono::days{number};
    row.kind = kind;
    row.place = "rudder";
    row.mass_kg = mass_kg;
    row.author = "Ann Invented";
    row.written_at = row.at;
    return row;
}

const std::vector<AnodeEntryRow> three{entry(1, "fitted", 2), entry(2, "weighed", 1.8),
                                       entry(4, "weighed", 1.6)};
const AnodeDocument of_three{"", three};

} // namespace

TEST_CASE("the same log has no difference") {
    const auto same = compare_anode_logs(of_three, three);
    CHECK(same.difference.empty());
    CHECK(same.agreement == "the archive holds all 3");
}

TEST_CASE("what came later is told as newer, a strike included") {
    auto held = three;
    held.push_back(entry(5, "strike", 0));
    held.back().about = 2;
    held.push_back(entry(6, "weighed", 1.5));
    const auto later = compare_anode_logs(of_three, held);
    CHECK(later.difference.empty());
    CHECK(later.agreement.find("and 2 newer ones, the first entry 5: strike") != std::string::npos);
    CHECK(later.agreement.find("of entry 2") != std::string::npos);
}

TEST_CASE("the first entry that differs is named with both of its forms") {
    auto held = three;
    held[1].mass_kg = 1.7;
    held[2].author = "Bob Invented";
    const auto other = compare_anode_logs(of_three, held).difference;
    CHECK(other.find("entry 2: weighed") == 0);
    CHECK(other.find("1.8 kg") < other.find("1.7 kg"));
    held[1].mass_kg = 1.8;
    CHECK(compare_anode_logs(of_three, held).difference.find("Bob Invented") != std::string::npos);
}

TEST_CASE("an entry that one of them lacks is named") {
    auto held = three;
    held.insert(held.begin() + 2, entry(3, "weighed", 1.75));
    CHECK(compare_anode_logs(of_three, held).difference.find("the report leaves out entry 3") == 0);
    held = three;
    held.pop_back();
    CHECK(compare_anode_logs(of_three, held).difference.find("entry 4") == 0);
    CHECK(compare_anode_logs(of_three, held).difference.find("is not in the archive") !=
          std::string::npos);
}

TEST_CASE("an entry that stands twice is a difference") {
    AnodeDocument stated = of_three;
    stated.entries.push_back(three.back());
    CHECK(compare_anode_logs(stated, three).difference.find("stands here twice") !=
          std::string::npos);
}

TEST_CASE("what a later entry gives to another boat is not missed, nor taken for changed") {
    // The rudder's anode was nobody's when the log of Gull was taken; then Tern's was weighed.
    auto hull = entry(2, "fitted", 3);
    hull.place = "hull";
    hull.boat = "Gull";
    std::vector held{entry(1, "fitted", 2), hull};
    const AnodeDocument of_gull{"Gull", held};
    held.push_back(entry(3, "weighed", 1.8));
    held.back().boat = "Tern";
    CHECK(compare_anode_logs(of_gull, held).agreement == "the archive holds all 2");
    // Taken afterwards, her log is without it.
    CHECK(compare_anode_logs({"Gull", {hull}}, held).difference.empty());
    CHECK(compare_anode_logs({"Gull", {hull}}, std::span(held).first(2))
              .difference.find("the report leaves out entry 1") == 0);
}

TEST_CASE("without a log in the report nothing is passed that the archive holds of the boat") {
    auto of_gull = three;
    for (AnodeEntryRow& row : of_gull)
        row.boat = "Gull";
    const auto none = compare_without_anode_log("Tern", of_gull);
    CHECK(none.agreement == Agreement::agrees);
    CHECK(none.words.find("none of Tern") != std::string::npos);
    const auto some = compare_without_anode_log("Gull", of_gull);
    CHECK(some.agreement == Agreement::not_compared);
    CHECK(some.words.find("3 entries") != std::string::npos);
    CHECK(some.words.find("entry 1: fitted") != std::string::npos);
    CHECK(compare_without_anode_log("Tern", three).agreement == Agreement::not_compared);
    CHECK(compare_without_anode_log("", of_gull).agreement == Agreement::not_compared);
}
