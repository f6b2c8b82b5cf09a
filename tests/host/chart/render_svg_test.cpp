#include "chart/render_svg.h"

#include <doctest/doctest.h>

using namespace quaycell;

TEST_CASE("a scene becomes exactly this document") {
    Scene scene{40, 30.5, "A title", "In words", {}};
    scene.groups.push_back(
        {"Group",
         {Lines{{{{1, 2}, {3.456, -0.001}}, {{5, 5}}}, {0, 114, 178}, 0.3, 0.5, 0.8},
          Area{{1, 2, 3, 4}, {213, 94, 0}, 0.13}, Polygon{{{0, 0}, {1, 0}, {0, 1}}, {0, 0, 0}},
          Text{{10, 20}, "−870 mV", 2.8, Anchor::middle, true, {26, 26, 26}}}});
    CHECK(render_svg(scene) ==
          "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
          "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" "
          "aria-labelledby=\"title description\" width=\"40mm\" height=\"30.5mm\" "
          "viewBox=\"0 0 40 30.5\" font-family=\"DejaVu Sans, Verdana, Arial, sans-serif\">\n"
          "<title id=\"title\">A title</title>\n"
          "<desc id=\"description\">In words</desc>\n"
          "<rect fill=\"#ffffff\" width=\"100%\" height=\"100%\"/>\n"
          "<g>\n"
          "<title>Group</title>\n"
          "<path fill=\"none\" stroke=\"#0072b2\" stroke-linecap=\"round\" "
          "stroke-linejoin=\"round\" stroke-width=\"0.3\" stroke-opacity=\"0.5\" "
          "stroke-dasharray=\"0.8\" d=\"M1 2L3.46 0M5 5h0\"/>\n"
          "<rect fill=\"#d55e00\" fill-opacity=\"0.13\" x=\"1\" y=\"2\" width=\"3\" "
          "height=\"4\"/>\n"
          "<path fill=\"#000000\" d=\"M0 0L1 0L0 1Z\"/>\n"
          "<text fill=\"#1a1a1a\" x=\"10\" y=\"20\" font-size=\"2.8\" text-anchor=\"middle\" "
          "font-weight=\"bold\">−870 mV</text>\n"
          "</g>\n"
          "</svg>\n");
}

namespace {

/// Whether every tag is closed in order and every ampersand begins one of the five entities.
bool is_well_formed(std::string_view xml) {
    std::vector<std::string> open;
    for (std::size_t i = xml.find("?>") + 2; i < xml.size(); ++i) {
        if (xml[i] == '&') {
            const std::string_view entity = xml.substr(i, xml.find(';', i) - i + 1);
            if (entity != "&amp;" && entity != "&lt;" && entity != "&gt;" && entity != "&quot;" &&
                entity != "&#39;")
                return false;
        }
        if (xml[i] != '<') continue;
        const std::size_t end = xml.find('>', i);
        if (end == std::string_view::npos) return false;
        const std::string_view tag = xml.substr(i + 1, end - i - 1);
        if (tag.starts_with('/')) {
            if (open.empty() || open.back() != tag.substr(1)) return false;
            open.pop_back();
        } else if (!tag.ends_with('/')) {
            open.emplace_back(tag.substr(0, tag.find(' ')));
        }
        i = end;
    }
    return open.empty();
}

} // namespace

TEST_CASE("names with markup, quotes and control characters stay text") {
    const std::string hostile = "</text><script>alert('x')</script> & \"q\" ]]> \x1b \xff";
    Scene scene{10, 10, hostile, hostile, {}};
    scene.groups.push_back({hostile, {Text{{0, 0}, hostile, 3, Anchor::start, false, {0, 0, 0}}}});
    const std::string svg = render_svg(scene);
    CHECK(is_well_formed(svg));
    CHECK(svg.find("<script") == std::string::npos);
    CHECK(svg.find('\x1b') == std::string::npos);
    CHECK(svg.find('\xff') == std::string::npos);
    CHECK(svg.find("&lt;/text&gt;&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; "
                   "&quot;q&quot; ]]&gt; \uFFFD \uFFFD</text>") != std::string::npos);
}

TEST_CASE("lines without points leave nothing behind") {
    Scene scene{10, 10, "", "", {{"", {Lines{{}, {0, 0, 0}, 1}}}}};
    CHECK(render_svg(scene).find("<path") == std::string::npos);
}
