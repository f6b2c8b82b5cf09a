#include "chart/render_pdf.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const PdfFacts facts{"A title", "In words", from_unix_s(1'780'000'000)};

Scene page(double width_mm, double height_mm) {
    return {width_mm,
            height_mm,
            "",
            "",
            {{"", {Text{{10, 20}, "−870 mV", 3}, Area{{1, 2, 3, 4}, {0, 0, 0}}}}}};
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t found = 0;
    for (std::size_t i = text.find(what); i != std::string::npos; i = text.find(what, i + 1))
        ++found;
    return found;
}

} // namespace

TEST_CASE("every scene becomes a page of its own size") {
    const std::vector<Scene> pages{page(210, 297), page(100, 50)};
    const auto pdf = render_pdf(pages, facts);
    REQUIRE(pdf);
    CHECK(pdf->starts_with("%PDF-1."));
    CHECK(pdf->find("%%EOF") != std::string::npos);
    // 72 points an inch: A4 is 595.28 by 841.89.
    CHECK(pdf->find("/MediaBox [ 0 0 595.275591 841.889764 ]") != std::string::npos);
    CHECK(pdf->find("/MediaBox [ 0 0 283.464567 141.732283 ]") != std::string::npos);
    CHECK(count(*pdf, "/MediaBox") == 2);
}

TEST_CASE("a PDF says what it is, and when what it shows ended") {
    const auto pdf = render_pdf(std::vector{page(100, 50)}, facts);
    REQUIRE(pdf);
    CHECK(pdf->find("/Title (A title)") != std::string::npos);
    CHECK(pdf->find("/CreationDate (20260528202640Z)") != std::string::npos);
}

TEST_CASE("the same pages make the same bytes") {
    const std::vector<Scene> pages{page(210, 297)};
    CHECK(render_pdf(pages, facts).value() == render_pdf(pages, facts).value());
}

TEST_CASE("whatever bytes a title holds, there is a PDF") {
    const PdfFacts hostile{std::string("\xff\x00(\\)\x1b<b>\xE2\x80\xAE", 12),
                           std::string(300, '('), from_unix_s(0)};
    CHECK(render_pdf(std::vector{page(100, 50)}, hostile));
}
