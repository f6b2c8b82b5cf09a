#include "report/pages.h"

#include "chart/scene_text.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using quaycell::testing::fake_text_width;
using quaycell::testing::texts_of;

namespace {

Document document(std::vector<Block> blocks) {
    return {"Report", "Tern, Invented Quay", "Report 1", {{"Section", std::move(blocks)}}};
}

std::vector<Scene> set(std::vector<Block> blocks, const PageSize& size = a4) {
    return set_pages(document(std::move(blocks)), size, fake_text_width);
}

std::vector<std::string> words_of(const Scene& page) {
    std::vector<std::string> words;
    for (const Text& text : texts_of(page))
        words.push_back(text.text);
    return words;
}

bool says(const Scene& page, const std::string& what) {
    return testing::has_text(page, what);
}

bool holds(const Scene& page, const std::string& what) {
    return std::ranges::any_of(words_of(page), [&](const std::string& text) {
        return text.find(what) != std::string::npos;
    });
}

Table numbered_rows(int count) {
    Table table{"Rows", {{"Number", 0.3}, {"Words", 0.7}}, {}};
    for (int i = 0; i < count; ++i)
        table.rows.push_back({std::to_string(i), "row" + std::to_string(i)});
    return table;
}

} // namespace

TEST_CASE("a short report is one page that says so, with its footing") {
    const auto pages = set({Paragraph{"All is told."}});
    REQUIRE(pages.size() == 1);
    CHECK(pages[0].width_mm == 210);
    CHECK(pages[0].height_mm == 297);
    CHECK(says(pages[0], "Report"));
    CHECK(says(pages[0], "Section"));
    CHECK(says(pages[0], "All is told."));
    CHECK(says(pages[0], "Report 1"));
    CHECK(says(pages[0], "Page 1 of 1"));
}

TEST_CASE("a report with nothing in it is still a page") {
    CHECK(set_pages({"Report", "", "", {}}, letter, fake_text_width).size() == 1);
}

TEST_CASE("a long table goes on under its head, no row is parted and none is lost") {
    for (const PageSize& size : {a4, letter}) {
        const auto pages = set({numbered_rows(300)}, size);
        REQUIRE(pages.size() > 3);
        int next = 0;
        for (const Scene& page : pages) {
            CHECK(says(page, "Number"));
            for (const std::string& word : words_of(page))
                if (word.starts_with("row")) {
                    CHECK(word == "row" + std::to_string(next));
                    CHECK(says(page, std::to_string(next)));
                    ++next;
                }
        }
        CHECK(next == 300);
        CHECK(says(pages[1], "Page 2 of " + std::to_string(pages.size())));
    }
}

TEST_CASE("no heading stands last on a page") {
    for (int rows = 1; rows < 80; ++rows) {
        Document parts{"Report", "", "", {{"First", {numbered_rows(rows)}}}};
        parts.sections.push_back({"Second", {Paragraph{"after"}}});
        for (const Scene& page : set_pages(parts, a4, fake_text_width))
            CHECK(says(page, "Second") == says(page, "after"));
    }
}

TEST_CASE("no title of a table stands without its first row") {
    for (int rows = 1; rows < 80; ++rows) {
        Table titled{"What follows", {{"Number", 1}}, {{"the first"}}};
        for (const Scene& page : set({numbered_rows(rows), titled}))
            CHECK(says(page, "What follows") == says(page, "the first"));
    }
}

TEST_CASE("no line of a paragraph stands alone on a page") {
    for (int rows = 1; rows < 60; ++rows) {
        std::string long_text;
        for (int i = 0; i < 60; ++i)
            long_text += "some words ";
        std::vector<std::size_t> lines;
        for (const Scene& page : set({numbered_rows(rows), Paragraph{long_text}})) {
            const auto words = words_of(page);
            const auto count = static_cast<std::size_t>(std::ranges::count_if(
                words, [](const std::string& text) { return text.starts_with("some"); }));
            if (count != 0) lines.push_back(count);
        }
        for (const std::size_t count : lines)
            CHECK(count >= 2);
    }
}

TEST_CASE("everything stands between the margins") {
    const std::vector<Block> blocks{Facts{{{"Boat", std::string(300, 'W')}, {"Berth", ""}}},
                                    numbered_rows(70), Paragraph{std::string(500, 'x')},
                                    Signature{{"Surveyor, date"}}};
    for (const PageSize& size : {a4, letter})
        for (const Scene& page : set(blocks, size))
            for (const Text& text : texts_of(page)) {
                const Rectangle box = testing::box_of(text);
                CHECK(box.left_mm >= 19.9);
                CHECK(box.right_mm() <= size.width_mm - 19.9);
                CHECK(box.top_mm >= 10);
                CHECK(box.bottom_mm() <= size.height_mm - 10);
            }
}

TEST_CASE("a name of 300 letters is broken, not cut") {
    const auto pages = set({Facts{{{"Boat", std::string(300, 'W')}}}});
    std::size_t letters = 0;
    for (const std::string& word : words_of(pages.at(0)))
        letters += static_cast<std::size_t>(std::ranges::count(word, 'W'));
    CHECK(letters == 300);
}

TEST_CASE("a row that no page holds is parted between its lines, and nothing of it is lost") {
    std::string text;
    for (int i = 0; i < 3000; ++i)
        text += std::to_string(i) + ' ';
    Table table{"Rows", {{"Number", 0.7}, {"Words", 0.3}}, {{"one", text}}};
    const auto pages = set({table});
    REQUIRE(pages.size() > 1);
    std::string found;
    for (const Scene& page : pages)
        for (const std::string& word : words_of(page))
            if (word.find_first_not_of("0123456789 ") == std::string::npos) found += word + ' ';
    CHECK(found == text);
}

TEST_CASE("what is not known is said to be so") {
    CHECK(says(set({Facts{{{"Weather", ""}}}}).at(0), not_stated));
}

TEST_CASE("a figure higher than a page is made smaller, with its caption under it") {
    const Figure figure{{170, 600, "", "", {{"", {Area{{0, 0, 170, 600}, {0, 0, 0}}}}}},
                        "What it shows."};
    const auto pages = set({figure});
    REQUIRE(pages.size() <= 2);
    CHECK(holds(pages.back(), "What it shows."));
    for (const Group& group : pages.back().groups)
        for (const Item& item : group.items)
            if (const auto* area = std::get_if<Area>(&item)) {
                CHECK(area->place.bottom_mm() < 297 - 20);
                CHECK(area->place.height_mm / area->place.width_mm == doctest::Approx(600.0 / 170));
            }
}

TEST_CASE("a figure without room is made a little smaller, or lets what follows go on before it") {
    const Figure figure{{170, 100, "", "", {{"", {Area{{0, 0, 170, 100}, {0, 0, 0}}}}}}, "Shown."};
    const auto filled_mm = [](const Scene& page) {
        double lowest_mm = 0;
        for (const Item& item : page.groups.at(0).items) {
            if (const auto* area = std::get_if<Area>(&item))
                lowest_mm = std::max(lowest_mm, area->place.bottom_mm());
            if (const auto* text = std::get_if<Text>(&item))
                lowest_mm = std::max(lowest_mm, text->at.y_mm);
        }
        return lowest_mm;
    };
    for (const PageSize& size : {a4, letter})
        for (int rows = 1; rows < 90; ++rows) {
            CAPTURE(rows);
            const auto pages =
                set({numbered_rows(rows), figure, Paragraph{"After."}, numbered_rows(80)}, size);
            std::size_t figures = 0;
            for (std::size_t i = 0; i < pages.size(); ++i) {
                if (i + 1 < pages.size())
                    CHECK(filled_mm(pages[i]) > size.height_mm - 22 - 25); // no blank of 25 mm
                for (const Item& item : pages[i].groups.at(0).items)
                    if (const auto* area = std::get_if<Area>(&item)) {
                        ++figures;
                        CHECK(says(pages[i], "Shown."));
                        CHECK(area->place.width_mm >= 0.88 * 170 - 1e-6);
                        CHECK(area->place.bottom_mm() <= size.height_mm - 22);
                    }
            }
            CHECK(figures == 1);
        }
}

TEST_CASE("a small table is not parted, nor does a row of a large one stand alone") {
    for (int above = 1; above < 60; ++above) {
        CAPTURE(above);
        Table small{"", {{"Name", 1}}, {{"a"}, {"b"}, {"c"}, {"d"}, {"e"}}};
        for (const Scene& page : set({numbered_rows(above), small}))
            CHECK(says(page, "a") == says(page, "e"));
        for (const Scene& page : set({Paragraph{"x"}, numbered_rows(above)})) {
            const auto words = words_of(page);
            const auto rows = std::ranges::count_if(
                words, [](const std::string& word) { return word.starts_with("row"); });
            CHECK((rows != 1 || above == 1));
        }
    }
}

TEST_CASE("what ends in a colon stands on the page of what it announces") {
    for (int above = 1; above < 60; ++above) {
        CAPTURE(above);
        for (const Scene& page :
             set({numbered_rows(above), Paragraph{"Corrected:"}, Paragraph{"the first"}}))
            CHECK(says(page, "Corrected:") == says(page, "the first"));
    }
}

TEST_CASE("nobody signs a page without a line of the report") {
    for (int above = 1; above < 60; ++above) {
        CAPTURE(above);
        Document signed_by = document({numbered_rows(above), Paragraph{"That is all."}});
        signed_by.sections.push_back({"Signature", {Signature{{"Name", "Signature here"}}}});
        for (const Scene& page : set_pages(signed_by, a4, fake_text_width))
            CHECK(says(page, "That is all.") == says(page, "Signature here"));
    }
}

TEST_CASE("a figure that waits for the next page is on one, even where nothing follows") {
    const Figure figure{{170, 180, "", "", {{"", {Area{{0, 0, 170, 180}, {0, 0, 0}}}}}}, "Shown."};
    const auto pages = set({figure, figure, figure});
    REQUIRE(pages.size() == 3);
    for (const Scene& page : pages)
        CHECK(says(page, "Shown."));
}

TEST_CASE("a caution is called one") {
    CHECK(holds(set({Paragraph{"Nobody in the water.", Voice::caution}}).at(0),
                "Caution: Nobody in the water."));
}
