#include "calibration/plausible.h"

#include "samples.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

const Step& verify_1100 = step_of(StepKind::verify, 1);

/// What is said of a sample at cell A where the multimeter shows `meter_mv`.
std::string said(const Sample& sample, double meter_mv, const Step& step = verify_1100) {
    const auto error =
        misjoined(step, CellInput::a, sample, {meter_mv}, Conversion({0, circuit, {}}), circuit);
    return error ? error->what : "";
}

bool mistyped_as(const Step& step, double dc_mv, double ac_mv = missing_value) {
    return mistyped(step, {dc_mv, ac_mv}).has_value();
}

} // namespace

TEST_CASE("a figure near the step's may be right") {
    CHECK_FALSE(mistyped_as(verify_1100, -1100.3));
    CHECK_FALSE(mistyped_as(verify_1100, -1199));
    CHECK(mistyped_as(verify_1100, -1201));
    CHECK(mistyped_as(verify_1100, 1100));
    CHECK(mistyped_as(verify_1100, missing_value));
}

TEST_CASE("AC has to be about a volt") {
    const Step& step = step_of(StepKind::ac, 50);
    CHECK_FALSE(mistyped_as(step, -1100, 1003));
    CHECK(mistyped_as(step, -1100, 1.003));
    CHECK(mistyped_as(step, -1100));
}

TEST_CASE("the same source on both is nothing to complain of") {
    CHECK(said(sample_of(-1100), -1102) == "");
}

TEST_CASE("swapped leads are called so") {
    CHECK(said(sample_of(600), -600).find("swapped") != std::string::npos);
    // COM stands 1024 mV above ground, and no input goes below that.
    CHECK(said(sample_of(1024), -1500).find("swapped") != std::string::npos);
    CHECK(said(sample_of(1024), -900).find("swapped") == std::string::npos);
}

TEST_CASE("a source at the other cell's jack is called so") {
    Sample sample = sample_of(-300);
    sample.other_code = code_of(-1100);
    CHECK(said(sample, -1100) == "the source is at the other cell's jack, not at cell A");
}

TEST_CASE("an open lead is called so") {
    Sample sample = sample_of(-300);
    sample.response = 214;
    CHECK(said(sample, -1100).find("the lead to cell A is open") == 0);
}

TEST_CASE("anything else that is far off is told with both figures") {
    CHECK(said(sample_of(-1050), -1100) ==
          "the logger shows -1051.0 mV at cell A, where the multimeter shows -1100.0 mV");
    const auto no_short = said(sample_of(-400), missing_value, step_of(StepKind::verify, 3));
    CHECK(no_short == "the logger shows -400.4 mV at cell A, where a short has 0 mV");
}

TEST_CASE("neither the converter's checks nor the stimulus look at the potential") {
    CHECK(said(sample_of(-400), missing_value, step_of(StepKind::checks)) == "");
    CHECK(said(sample_of(-400), missing_value, step_of(StepKind::stimulus, 3)) == "");
}
