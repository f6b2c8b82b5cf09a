#include "chart/numbered.h"

#include "scene_text.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

std::vector<std::string> labels(std::vector<Numbered> marks) {
    std::vector<std::string> found;
    for (const Text& text : number_labels(marks, 10, 0, 100, fake_text_width))
        found.push_back(text.text);
    return found;
}

} // namespace

TEST_CASE("numbers stand over their marks, with words where there is room") {
    CHECK(labels({{20, "1", "step"}, {60, "2", ""}}) == std::vector<std::string>{"1 step", "2"});
    // "1 shore-power-on" is 23 mm wide and would reach the next.
    CHECK(labels({{20, "1", "shore-power-on"}, {28, "2", "gap"}, {80, "3", "gap"}}) ==
          std::vector<std::string>{"1", "2 gap", "3 gap"});
}

TEST_CASE("numbers that would touch become one, again and again") {
    CHECK(labels({{20, "1", "a"}, {21, "2", "a"}, {22, "3", "a"}, {70, "4", "a"}}) ==
          std::vector<std::string>{"1–3", "4 a"});
    // "1–2" is wider than its two numbers and takes in what stands to the left of it.
    CHECK(labels({{20, "8", ""}, {23, "9", ""}, {25, "10", ""}}) ==
          std::vector<std::string>{"8–10"});
}

TEST_CASE("numbers at the edge stay inside it") {
    const std::vector<Numbered> marks{{0, "1", ""}, {100, "2", ""}};
    const std::vector<Text> texts = number_labels(marks, 10, 0, 100, fake_text_width);
    REQUIRE(texts.size() == 2);
    CHECK(box_of(texts[0]).left_mm >= 0);
    CHECK(box_of(texts[1]).right_mm() <= 100 + 1e-9);
}

TEST_CASE("spells in which the hull was protected have no number") {
    JudgedTrace judged;
    for (const Verdict verdict :
         {Verdict::protected_, Verdict::under_protected, Verdict::protected_, Verdict::no_verdict})
        judged.spells.push_back({from_unix_s(0), from_unix_s(1), verdict, 1, missing_value});
    const auto spells = numbered_spells(judged);
    REQUIRE(spells.size() == 2);
    CHECK(spells[0].number == "S1");
    CHECK(spells[0].spell.verdict == Verdict::under_protected);
    CHECK(spells[1].number == "S2");
}
