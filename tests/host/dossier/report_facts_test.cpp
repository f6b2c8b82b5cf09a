#include "dossier/report_facts.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

Note noted(const char* time) {
    return {0, at(time), time, "Ann", at("2026-06-01T00:00:00Z")};
}

} // namespace

TEST_CASE("notes about the time of the readings are shown, and those of the day about it") {
    const std::vector<Note> notes{noted("2026-05-03T05:59:59Z"), noted("2026-05-03T06:00:00Z"),
                                  noted("2026-05-04T06:30:00Z"), noted("2026-05-05T07:00:00Z"),
                                  noted("2026-05-05T07:00:01Z")};
    const auto about = notes_about(notes, at("2026-05-04T06:00:00Z"), at("2026-05-04T07:00:00Z"));
    REQUIRE(about.size() == 3);
    CHECK(about.front().text == "2026-05-03T06:00:00Z");
    CHECK(about.back().text == "2026-05-05T07:00:00Z");
    CHECK(about.back().author == "Ann");
    CHECK(about.back().written_at == at("2026-06-01T00:00:00Z"));
}

TEST_CASE("comparisons of the cell are told as those of trace, survey or both") {
    using Texts = std::vector<std::string>;
    CHECK(told_of_both({}, {}).empty());
    CHECK(told_of_both({"a", "b"}, {"b", "c"}) ==
          Texts{"trace: a", "trace and survey: b", "survey: c"});
    CHECK(told_of_both({}, {"c"}) == Texts{"trace: no comparison of the cell with another cell or "
                                           "a zinc is on record",
                                           "survey: c"});
    CHECK(told_of_both({"a"}, {}) == Texts{"trace: a", "survey: no comparison of the cell with "
                                                       "another cell or a zinc is on record"});
}

TEST_CASE("since when the boat is afloat is what its file says of launch and anodes") {
    Boat boat{};
    CHECK(afloat_since(boat).empty());
    for (const auto& [day, what] :
         {std::pair{"2026-04-01", "launched"}, {"2026-04-02", "new anode: shaft"}}) {
        Refit refit;
        refit.when.text = day;
        refit.what = what;
        boat.refits.push_back(refit);
    }
    CHECK(afloat_since(boat) == "launched 2026-04-01; new anode: shaft 2026-04-02 (vessel file)");
}
