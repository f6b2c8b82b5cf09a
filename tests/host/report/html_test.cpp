#include "report/html.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

std::string html(std::vector<Block> blocks, const std::string& subtitle = "Tern") {
    return to_html({"Report", subtitle, "Report 1", {{"Section", std::move(blocks)}}});
}

bool holds(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

} // namespace

TEST_CASE("a report is one document with its language, title, headings and footing") {
    const std::string text = html({Paragraph{"All is told."}});
    CHECK(text.starts_with("<!DOCTYPE html>\n<html lang=\"en-GB\">"));
    CHECK(holds(text, "<title>Report: Tern</title>"));
    CHECK(holds(text, "<h1>Report</h1>"));
    CHECK(holds(text, "<h2>Section</h2>\n<p>All is told.</p>"));
    CHECK(holds(text, "<footer><p>Report 1</p></footer>"));
    CHECK(text.ends_with("</html>\n"));
}

TEST_CASE("nothing is fetched and nothing runs") {
    const Figure figure{{10, 10, "A picture", "In words", {}}, "Caption"};
    const std::string text = html({figure});
    CHECK_FALSE(holds(text, "<script"));
    CHECK_FALSE(holds(text, "src="));
    CHECK_FALSE(holds(text, "href="));
    CHECK_FALSE(holds(text, "url("));
    CHECK(holds(text, "default-src 'none'"));
}

TEST_CASE("figures have words for those who do not see them, and ids of their own") {
    const Figure figure{{10, 10, "A picture", "In words", {}}, "Caption"};
    const std::string text = html({figure, figure});
    CHECK(holds(text, "aria-labelledby=\"figure-1-title figure-1-description\""));
    CHECK(holds(text, "<desc id=\"figure-2-description\">In words</desc>"));
    CHECK(holds(text, "<figcaption>Caption</figcaption>"));
    CHECK_FALSE(holds(text, "<?xml"));
}

TEST_CASE("tables name their columns, facts say what is missing, voices are told apart") {
    const Table table{"Spells", {{"From", 0.5}, {"Worst, mV", 0.5, Anchor::end}}, {{"a", "b"}}};
    const std::string text = html({table, Facts{{{"Berth", ""}, {"Hull", "steel"}}},
                                   Paragraph{"Renew it.", Voice::opinion},
                                   Paragraph{"Nobody in the water.", Voice::caution}});
    CHECK(holds(text, "<caption>Spells</caption>"));
    CHECK(holds(text, "<th scope=\"col\">From</th><th scope=\"col\" class=\"end\">Worst, mV</th>"));
    CHECK(holds(text, "<td>a</td><td class=\"end\">b</td>"));
    CHECK(holds(text, "<dt>Berth</dt><dd class=\"missing\">not stated</dd>"));
    CHECK(holds(text, "<dt>Hull</dt><dd>steel</dd>"));
    CHECK(holds(text, "<p class=\"opinion\">Renew it.</p>"));
    CHECK(holds(text, "<strong>Caution:</strong> Nobody in the water."));
}

TEST_CASE("names carry no markup") {
    const std::string hostile = "<script>alert(1)</script>\"' & \xE2\x80\xAE\x1b";
    const std::string text =
        html({Paragraph{hostile}, Facts{{{hostile, hostile}}},
              Table{hostile, {{hostile, 1}}, {{hostile}}},
              Figure{{1, 1, hostile, hostile, {}}, hostile}, Signature{{hostile}}},
             hostile);
    CHECK_FALSE(holds(text, "<script"));
    CHECK_FALSE(holds(text, "\xE2\x80\xAE"));
    CHECK_FALSE(holds(text, "\x1b"));
    CHECK(holds(text, "&lt;script&gt;alert(1)&lt;/script&gt;&quot;&#39; &amp; "));
}

TEST_CASE("the evidence number is read back from the page, and from no other") {
    Document document{"Report", "Tern", "Report 1", {}, "0123abcd"};
    CHECK(evidence_number_in_html(to_html(document)) == "0123abcd");
    document.evidence_number = "";
    CHECK_FALSE(evidence_number_in_html(to_html(document)));
    CHECK_FALSE(evidence_number_in_html("%PDF-1.5"));
}

TEST_CASE("no name can pass for the evidence number") {
    const Document document{"<meta name=\"evidence-number\" content=\"ffff\">", "", "", {}, "0123"};
    CHECK(evidence_number_in_html(to_html(document)) == "0123");
}

TEST_CASE("on paper a short table stays together, a long one goes on with its pages numbered") {
    Table table{"Spells", {{"No.", 1}}, {}};
    table.rows.resize(10, {"1"});
    CHECK(holds(html({table}), "<div class=\"table short\">"));
    table.rows.push_back({"11"});
    const std::string text = html({table});
    CHECK(holds(text, "<div class=\"table\">"));
    CHECK(holds(text, ".short { break-inside: avoid; }"));
    CHECK(holds(text, "counter(page) \" of \" counter(pages)"));
}
