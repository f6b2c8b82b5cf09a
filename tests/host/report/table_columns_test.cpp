#include "report/table_columns.h"

#include "chart/scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using quaycell::testing::fake_text_width;

namespace {

// Letters are 0.6 mm wide, in headings 0.7 mm.
std::vector<TableColumn> fitted(const Table& table, double width_mm) {
    return fitted_columns(table, width_mm, 1, fake_text_width);
}

} // namespace

TEST_CASE("a column too narrow for its longest word takes from the one that has more") {
    const Table table{"", {{"A", 0.1}, {"B", 0.9}}, {{"under-protected", "so it is"}}};
    // 15 letters of 0.6 mm, the gap of 2 mm and a twentieth are 11.05 of 100 mm.
    const auto columns = fitted(table, 100);
    CHECK(columns[0].share == doctest::Approx(0.1105));
    CHECK(columns[1].share == doctest::Approx(0.8895));
}

TEST_CASE("a long heading counts as a word does, and digests do not") {
    const Table table{"", {{"Verdict here", 0.05}, {"B", 0.95}}, {{std::string(64, 'a'), "b"}}};
    CHECK(fitted(table, 100)[0].share == doctest::Approx((7 * 0.7 + 2.05) / 100));
}

TEST_CASE("a number is not parted from its unit, and a heading above it is") {
    const Table table{
        "", {{"Of all it", 0.05, Anchor::end}, {"B", 0.95}}, {{">99.9 %", "so it is"}}};
    CHECK(fitted(table, 100)[0].share == doctest::Approx((7 * 0.6 + 2.05) / 100));
}

TEST_CASE("where numbers cannot be kept with their units, words are whole all the same") {
    Table table{"", {{"A", 0.1, Anchor::end}, {"B", 0.9}}, {{"1234 mV", "sentence"}}};
    // 7 letters beside 8 take 13.1 of 12 mm, with their gaps; 4 and 8 11.3.
    CHECK(fitted(table, 12)[0].share == doctest::Approx((4 * 0.6 + 2.05) / 12));
    // What says more than a number is words.
    table.rows = {{"+272 mV, differs", "sentence"}};
    CHECK(fitted(table, 100)[0].share == 0.1);
    CHECK(fitted(table, 20)[0].share == doctest::Approx((7 * 0.6 + 2.05) / 20));
}

TEST_CASE("columns that all have room, or all have none, stay as they are") {
    const Table roomy{"", {{"A", 0.5}, {"B", 0.5}}, {{"a", "b"}}};
    CHECK(fitted(roomy, 100)[0].share == 0.5);
    CHECK(fitted(roomy, 1)[0].share == 0.5);
    const Table none{"", {{"A", 0.5}, {"B", 0.5}}, {}};
    CHECK(fitted(none, 100)[1].share == 0.5);
}
