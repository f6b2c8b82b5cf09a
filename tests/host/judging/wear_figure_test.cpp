#include "judging/wear_figure.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant on(const char* day) {
    return *parse_instant(std::string(day) + "T12:00:00Z");
}

/// Of two kilograms, fitted on 2025-06-01. Invented.
AnodeWear figure_of(std::vector<AnodeMassSeen> seen, const char* now) {
    const FittedAnode anode{"rudder", Alloy::zinc, 2, on("2025-06-01"), std::move(seen)};
    return wear_figure(anode, wear_of(anode, 0.5).value(), 0.5, on(now));
}

/// What the dashes show on a day.
double dashes_kg(const AnodeWear& figure, Instant at) {
    const AnodeMass& first = figure.expected.front();
    const AnodeMass& last = figure.expected.back();
    const double share = seconds_between(first.at, at) / seconds_between(first.at, last.at);
    return first.mass_kg + share * (last.mass_kg - first.mass_kg);
}

} // namespace

TEST_CASE("the dashes pass through new mass and weighing where these are all, however unsure") {
    const AnodeWear figure = figure_of({{on("2026-03-28"), 1.2, false}}, "2026-04-01");
    REQUIRE(figure.expected.size() == 2);
    CHECK(dashes_kg(figure, on("2025-06-01")) == doctest::Approx(2));
    CHECK(dashes_kg(figure, on("2026-03-28")) == doctest::Approx(1.2));
}

TEST_CASE("the dashes end where nothing is left by the line") {
    // By hand: 0.8 kg in the 300 days from 2025-06-01 to 2026-03-28, so 2 kg in 750 days.
    const AnodeWear figure = figure_of({{on("2026-03-28"), 1.2, false}}, "2028-01-01");
    REQUIRE(figure.expected.size() == 2);
    CHECK(figure.expected.back().mass_kg == 0);
    CHECK(seconds_between(figure.expected.back().at, on("2027-06-21")) == doctest::Approx(0));
}

TEST_CASE("the dashes lie between weighings that lie on no line") {
    // Least squares by hand over days 0, 100, 200 and 2.0, 1.4, 1.0 kg: 5 g a day from 1.9667 kg.
    const AnodeWear figure =
        figure_of({{on("2025-09-09"), 1.4, true}, {on("2025-12-18"), 1.0, true}}, "2025-12-20");
    CHECK(dashes_kg(figure, on("2025-06-01")) == doctest::Approx(5.9 / 3));
    CHECK(dashes_kg(figure, on("2025-12-18")) == doctest::Approx(5.9 / 3 - 1));
}

TEST_CASE("where nothing was left the dashes go from the last mass to that day") {
    const AnodeWear figure =
        figure_of({{on("2025-09-09"), 1.4, true}, {on("2025-12-18"), 0, true}}, "2026-04-01");
    REQUIRE(figure.expected.size() == 2);
    CHECK(figure.expected.front().at == on("2025-09-09"));
    CHECK(figure.expected.front().mass_kg == 1.4);
    CHECK(figure.expected.back().at == on("2025-12-18"));
    CHECK(figure.expected.back().mass_kg == 0);
}

TEST_CASE("what is more than five years off is not shown") {
    const AnodeWear figure = figure_of({{on("2025-09-09"), 1.99, true}}, "2025-12-20");
    CHECK(figure.expected.back().at <= on("2025-12-20") + std::chrono::days{5 * 365});
    CHECK_FALSE(figure.renew_to);
}
