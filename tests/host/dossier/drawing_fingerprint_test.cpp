#include "dossier/drawing_fingerprint.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

bool holds(const std::vector<std::string>& sample, const char* text) {
    return std::ranges::find(sample, text) != sample.end();
}

Document saying(const std::string& text) {
    Document document;
    document.sections.push_back({"", {Facts{{{"Place", text}}}}});
    return document;
}

} // namespace

TEST_CASE("a sample shows each sign beyond ASCII, and whole words where letters join") {
    const auto sample = font_sample(saying("Kai 7, Rømø, −870 mV, قارب أزرق, Θαλασσα"));
    CHECK(holds(sample, "ø"));
    CHECK(holds(sample, "−"));
    CHECK(holds(sample, "قارب"));
    CHECK(holds(sample, "أزرق,"));
    CHECK(holds(sample, "Θ"));
    CHECK_FALSE(holds(sample, "−870"));
    CHECK_FALSE(holds(sample, "Kai"));
    CHECK_FALSE(holds(sample, "Rømø,"));
}

TEST_CASE("texts are found wherever they stand on a page") {
    const Figure figure{{1, 1, "", "", {{"", {Text{{}, "ç", 1}}}}}, "ñ"};
    const Table table{"ü", {{"ö", 1}}, {{"ä"}}};
    const Document document{
        "é",
        "à",
        "ô",
        {{"å", {Paragraph{"í"}, Facts{{{"ß", "ú"}}}, table, figure, Signature{{"ý"}}}}},
        ""};
    for (const char* each : {"é", "à", "ô", "å", "í", "ß", "ú", "ü", "ö", "ä", "ç", "ñ", "ý"}) {
        CAPTURE(each);
        CHECK(holds(font_sample(document), each));
    }
}

TEST_CASE("the fingerprint is that of what has to be drawn, the same for the same") {
    const auto plain = drawing_fingerprint({});
    const auto greek = drawing_fingerprint({"Θ"});
    REQUIRE(plain);
    REQUIRE(greek);
    CHECK(*plain != *greek);
    CHECK(*drawing_fingerprint({"Θ"}) == *greek);
}

TEST_CASE("bytes that are no text, and more signs than a line holds, are drawn all the same") {
    std::string many;
    for (char low = '\x80'; low < '\xBF'; ++low)
        many += std::string("\xCE") + low + " \xFF";
    const auto sample = font_sample(saying(many));
    CHECK(sample.size() > 60);
    CHECK(drawing_fingerprint(sample));
}
