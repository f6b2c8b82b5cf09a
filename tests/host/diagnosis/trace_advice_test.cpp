#include "diagnosis/trace_advice.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Judgement under_protected() {
    return judge(*prepare_rules(built_in_criteria(), {Hull::steel, {}}, {}), -700, 12);
}

std::vector<std::string> advice(Verdict overall, const Judgement& judgement, EventKind kind) {
    JudgedTrace judged;
    judged.overall = overall;
    judged.events.push_back({from_unix_s(0), kind, missing_value, ""});
    return trace_advice(judged, judgement, Hull::steel, {}, {});
}

} // namespace

TEST_CASE("swapped leads come first, and before what the other readings advise") {
    const Judgement judgement = under_protected();
    const auto usual = advice(Verdict::under_protected, judgement, EventKind::step);
    CHECK(usual == advice_for(judgement, Hull::steel, {}, {}));
    const auto swapped = advice(Verdict::under_protected, judgement, EventKind::polarity_reversed);
    REQUIRE(swapped.size() == usual.size() + 1);
    CHECK(swapped.front().find("leads of hull and cell were swapped") != std::string::npos);
}

TEST_CASE("of leads that are swapped throughout nothing else is advised") {
    const auto swapped = advice(Verdict::no_verdict, Judgement{}, EventKind::polarity_reversed);
    REQUIRE(swapped.size() == 1);
    CHECK(swapped.front().find("put each where it belongs") != std::string::npos);
    CHECK(swapped.front().find("anode") == std::string::npos);
}

TEST_CASE("AC at the cell sends for an electrician before all other cautions") {
    const Judgement judgement = under_protected();
    JudgedTrace judged;
    judged.shore = {missing_value, missing_value, 8, 40};
    const auto usual = trace_cautions(judged, judgement, Hull::steel, {}, {});
    CHECK(usual == cautions_for(judgement, Hull::steel, {}, {}));
    judged.shore.ac_highest_mv = 900;
    const auto leaking = trace_cautions(judged, judgement, Hull::steel, {}, {});
    REQUIRE(leaking.size() == usual.size() + 1);
    CHECK(leaking.front().starts_with("AC of up to 900 mV rms"));
    CHECK(leaking.front().find("Nobody in the water") != std::string::npos);
    judged.shore.ac_highest_mv = missing_value; // nobody measured it
    CHECK(trace_cautions(judged, judgement, Hull::steel, {}, {}) == usual);
}
