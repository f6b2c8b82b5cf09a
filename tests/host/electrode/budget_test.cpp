#include "electrode/budget.h"

#include "electrode/limits.h"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Water water_between(double low_psu, double high_psu) {
    Water water;
    water.salinity_psu = {low_psu, high_psu};
    return water;
}

double reading_mv(Scale scale, const Water& water, CellCheck check = CellCheck::checked) {
    return reading_budget(scale, water, check)->expanded_mv();
}

double line_mv(const Budget& budget, std::string_view name) {
    const auto line = std::find_if(budget.lines.begin(), budget.lines.end(),
                                   [&](const BudgetLine& l) { return l.name == name; });
    REQUIRE(line != budget.lines.end());
    return line->standard_mv();
}

/// A line of so many mV, k = 1.
BudgetLine line(double standard_mv, ErrorKind kind) {
    return {"", standard_mv, "mV", Distribution::normal, kind, 1, "source"};
}

} // namespace

TEST_CASE("Of a change in one place only what is random and the voltage drop are left") {
    // Contact +-1 and repeatability 3 mV twice, voltage drop +-4 mV once, whatever the cell's
    // check: 2 sqrt(2 (1/3 + 9) + 16/3) = 9.80 mV.
    for (const CellCheck check : {CellCheck::checked, CellCheck::unchecked})
        CHECK(
            reading_budget(Scale::agcl_open, water_between(35, 35), check)->change_expanded_mv() ==
            doctest::Approx(9.80).epsilon(0.001));
}

TEST_CASE("In sea water with a cell that was compared a reading is good to 11.5 mV") {
    CHECK(reading_mv(Scale::agcl_open, water_between(35, 35)) ==
          doctest::Approx(11.5).epsilon(0.005));
}

TEST_CASE("With an unchecked cell in a harbour known within 15 mV it is good to 25 mV") {
    // Between 14.5 and 42 PSU the element moves by 15.0 mV from the middle (15 degC, interpolated
    // in the independent table). That makes 22.4 mV with the voltage drop of sea water (2.3 mV,
    // k = 1); at 14.5 PSU the water resists 2.22 times as much (conductivity-gsw.csv): 24.2 mV. The
    // ageing of the element, +-4.5 mV, comes on top of the range.
    CHECK(reading_mv(Scale::agcl_open, water_between(14.5, 42), CellCheck::unchecked) ==
          doctest::Approx(24.75).epsilon(0.005));
}

TEST_CASE("Water that is only assumed makes a reading less sure than water that was measured") {
    Water assumed; // sea, 30 to 40 PSU
    assumed.salinity_assumed = true;
    // +-15 mV for the unknown harbour and an unchecked cell: 22.4 mV, and a little for the voltage
    // drop at 30 instead of 35 PSU.
    CHECK(reading_mv(Scale::agcl_open, assumed, CellCheck::unchecked) ==
          doctest::Approx(22.5).epsilon(0.01));
    CHECK(reading_mv(Scale::agcl_open, assumed) >
          reading_mv(Scale::agcl_open, water_between(30, 30)));
}

TEST_CASE("The expanded uncertainty is twice the root of the sum of squares") {
    const Budget budget{{line(3, ErrorKind::systematic), line(4, ErrorKind::random)}};
    CHECK(budget.expanded_mv() == doctest::Approx(10));
    CHECK(Budget{}.expanded_mv() == 0);
}

TEST_CASE("A rectangular line counts its half width over the root of three, through its slope") {
    const BudgetLine kelvins{"", 2,       "K", Distribution::rectangular, ErrorKind::systematic,
                             -3, "source"};
    CHECK(kelvins.standard_mv() == doctest::Approx(2 * 3 / std::sqrt(3.0)));
}

TEST_CASE("The mean of many readings loses its random errors and keeps its systematic ones whole") {
    const Budget one{{line(3, ErrorKind::systematic), line(4, ErrorKind::random)}};
    CHECK(one.of_mean(1).expanded_mv() == doctest::Approx(10));
    CHECK(one.of_mean(16).expanded_mv() == doctest::Approx(2 * std::hypot(3, 1)));
    CHECK(one.of_mean(1e12).expanded_mv() == doctest::Approx(6));

    const Budget reading =
        *reading_budget(Scale::agcl_open, water_between(35, 35), CellCheck::checked);
    double systematic = 0;
    for (const BudgetLine& l : reading.lines)
        if (l.kind == ErrorKind::systematic) systematic += l.standard_mv() * l.standard_mv();
    CHECK(reading.of_mean(1e12).expanded_mv() == doctest::Approx(2 * std::sqrt(systematic)));
}

TEST_CASE("Salinity counts through the chloride model: 22.9 mV for the whole of it at 25 degC") {
    // 22.9 mV times dS/S at salinity 35 and 25 degC: computed independently.
    Water warm = water_between(35, 35);
    warm.temperature_c = 25;
    CHECK(line_mv(*reading_budget(Scale::agcl_open, warm, CellCheck::checked),
                  "salinity of the water") == doctest::Approx(2.29 / 1.7320508).epsilon(0.005));
}

TEST_CASE("A wide range of salinity takes the place of what is known at best, a narrow one not") {
    const auto budget_of = [](double low_psu, double high_psu) {
        return *reading_budget(Scale::agcl_open, water_between(low_psu, high_psu),
                               CellCheck::checked);
    };
    CHECK(line_mv(budget_of(1, 35), "range of the water's salinity") > 30);
    CHECK(line_mv(budget_of(34.9, 35), "salinity of the water") > 1);
}

TEST_CASE("A water temperature that nobody measured makes a conversion less sure") {
    Water assumed = water_between(35, 35);
    assumed.temperature_assumed = true;
    // +-10 K through slopes that differ by 0.54 mV/K at 15 degC, over root 3.
    CHECK(line_mv(*conversion_budget(Scale::agcl_seawater, Scale::cse, assumed),
                  "water temperature, assumed") == doctest::Approx(5.4 / 1.7320508).epsilon(0.02));
}

TEST_CASE("A cell that is not as warm as the water errs by its thermal slope") {
    // A sulphate cell by the handbooks' 0.9 mV/K, the element in sea water by 0.31 (25 degC).
    Water warm = water_between(35, 35);
    warm.temperature_c = 25;
    const auto cell_mv = [&](Scale scale) {
        return line_mv(*reading_budget(scale, warm, CellCheck::checked),
                       "cell not as warm as the water");
    };
    CHECK(cell_mv(Scale::cse) == doctest::Approx(3 * 0.9 / 1.7320508).epsilon(0.01));
    CHECK(cell_mv(Scale::agcl_open) == doctest::Approx(3 * 0.31 / 1.7320508).epsilon(0.01));
}

TEST_CASE("The voltage drop grows in proportion to the resistivity of the water") {
    // conductivity-gsw.csv at 15 degC: 5 PSU 7.2009 mS/cm against 42.9175 at 35 PSU.
    const auto drop_mv = [](double salinity_psu) {
        return line_mv(*reading_budget(Scale::agcl_open, water_between(salinity_psu, salinity_psu),
                                       CellCheck::checked),
                       "voltage drop in the water");
    };
    // Its width is divided by 1 + e with e within 10 %: the mean of 1 / (1 + e)^2 is 1 / (1 -
    // 0.01).
    CHECK(drop_mv(35) == doctest::Approx(4 / 1.7320508 / std::sqrt(0.99)).epsilon(1e-4));
    CHECK(drop_mv(5) / drop_mv(35) == doctest::Approx(42.91751 / 7.20092).epsilon(1e-4));
}

TEST_CASE("A budget of one's own counts in place of the built-in one") {
    BudgetTerms terms = default_budget_terms();
    terms.set(Term::repeatability, {20, Distribution::normal, ErrorKind::random, "our own"});
    const Budget budget =
        *reading_budget(Scale::agcl_open, water_between(35, 35), CellCheck::checked, terms);
    CHECK(line_mv(budget, "repeatability") == 20);
    CHECK(budget.expanded_mv() > 40);
}

TEST_CASE("In fresh water the voltage drop in the water rules") {
    Water river;
    river.chloride_mg_l = Range{8, 8};
    const Budget budget = *reading_budget(Scale::agcl_open, river, CellCheck::checked);
    CHECK(line_mv(budget, "voltage drop in the water") > 100);
    CHECK(budget.expanded_mv() > 200);
}

TEST_CASE("A cell on another scale brings the scatter of its published values") {
    const double open_mv = reading_mv(Scale::agcl_seawater, Water{});
    const double calomel_mv = reading_mv(Scale::sce, Water{});
    const double sulphate_mv = reading_mv(Scale::cse, Water{});
    const double zinc_mv = reading_mv(Scale::zinc, Water{});
    CHECK(open_mv < calomel_mv);
    CHECK(calomel_mv < sulphate_mv);
    CHECK(sulphate_mv < zinc_mv);
    CHECK(zinc_mv > 50); // zinc alone: 25 mV, k = 1
}

TEST_CASE("The junction of a salt bridge weighs more in diluted water") {
    const auto junction_mv = [](double salinity) {
        return line_mv(
            *reading_budget(Scale::sce, water_between(salinity, salinity), CellCheck::checked),
            "junction of the cell");
    };
    CHECK(junction_mv(35) == doctest::Approx(0.5));
    CHECK(junction_mv(10) == doctest::Approx(1.0));
    CHECK(junction_mv(1) == doctest::Approx(2.7));
    CHECK(junction_mv(0.1) == doctest::Approx(3.9));
    CHECK(junction_mv(0.05) == doctest::Approx(3.9));
    CHECK(junction_mv(42) == doctest::Approx(0.5));
}

TEST_CASE("Water known within a range never gives less uncertainty than water at one of its ends") {
    for (const Scale scale : {Scale::agcl_open, Scale::agcl_seawater, Scale::cse})
        for (const double end_psu : {5.0, 12.0, 30.0}) {
            CAPTURE(end_psu);
            CHECK(reading_mv(scale, water_between(5, 30)) >=
                  reading_mv(scale, water_between(end_psu, end_psu)));
            CHECK(conversion_budget(Scale::sce, scale, water_between(5, 30))->expanded_mv() >=
                  conversion_budget(Scale::sce, scale, water_between(end_psu, end_psu))
                      ->expanded_mv());
        }
}

TEST_CASE("Chloride at either end of its range has a budget") {
    for (const double chloride_mg_l : {chloride_limits.low, chloride_limits.high}) {
        Water water;
        water.chloride_mg_l = Range{chloride_mg_l, chloride_mg_l};
        CHECK(reading_budget(Scale::agcl_open, water, CellCheck::checked));
        CHECK(conversion_budget(Scale::agcl_open, Scale::sce, water));
    }
}

TEST_CASE("A scale converted to itself is certain; to another it carries the scatter of both") {
    CHECK(conversion_budget(Scale::cse, Scale::cse, Water{})->expanded_mv() == 0);
    // 3 and 5 mV of the two scales, 0.5 mV junction, 0.54 mV of temperature over root 3.
    CHECK(conversion_budget(Scale::agcl_seawater, Scale::cse, Water{})->expanded_mv() ==
          doctest::Approx(2 * 5.87).epsilon(0.01));
    CHECK(conversion_budget(Scale::agcl_seawater, Scale::she, Water{})->expanded_mv() ==
          doctest::Approx(2 * 3.02).epsilon(0.01));
}

TEST_CASE("Water out of range has no budget") {
    CHECK_FALSE(reading_budget(Scale::agcl_open, water_between(0, 1), CellCheck::checked));
    CHECK_FALSE(conversion_budget(Scale::she, Scale::cse, water_between(0, 1)));
}

TEST_CASE("An uncertainty is told to two digits, and one that decides nothing is called so") {
    CHECK(uncertainty_text(15.23) == "within 15 mV (k = 2)");
    CHECK(uncertainty_text(5.23) == "within 5.2 mV (k = 2)");
    CHECK(uncertainty_text(100) == "within 100 mV (k = 2)");
    CHECK(uncertainty_text(1165.6) == "hardly known, perhaps within 1200 mV (k = 2)");
    CHECK(uncertainty_text(240) == "hardly known, perhaps within 240 mV (k = 2)");
}

TEST_CASE("Every line says where it comes from") {
    for (const ScaleFacts& facts : all_scales()) {
        const Budget budget = *reading_budget(facts.scale, Water{}, CellCheck::unchecked);
        for (const BudgetLine& line : budget.lines)
            CHECK_FALSE(line.source.empty());
    }
}

// By hand, with the default file: 2, 1.2 and 0.8 mV rectangular over the square root of 3; an
// instrument within 0.65 mV at k = 2.
TEST_CASE("a calibrated logger's electronics are known better, its instrument counts beside them") {
    const auto lines_of = [](const std::optional<CalibratedMeter>& meter) {
        return reading_budget(Scale::agcl_open, water_between(35, 35), CellCheck::checked,
                              default_budget_terms(), meter)
            ->lines;
    };
    const auto standard_mv = [&](const std::optional<CalibratedMeter>& meter,
                                 std::string_view name) {
        for (const BudgetLine& line : lines_of(meter))
            if (line.name.starts_with(name)) return line.standard_mv();
        return 0.0;
    };
    CHECK(standard_mv({}, "electronics") == doctest::Approx(1.1547).epsilon(1e-4));
    CHECK(standard_mv({}, "instrument") == 0);
    const CalibratedMeter one{false, 0.65}, two{true, 0.65};
    CHECK(standard_mv(one, "electronics, by one") == doctest::Approx(0.6928).epsilon(1e-4));
    CHECK(standard_mv(two, "electronics, by two") == doctest::Approx(0.4619).epsilon(1e-4));
    CHECK(standard_mv(one, "instrument") == doctest::Approx(0.325));
    CHECK(lines_of(one).size() == lines_of({}).size() + 1);
}

TEST_CASE("a meter's input draws the potential down: criteria.md, row M-h, at 900 mV and 10 Mohm") {
    // Ohm's law, computed there apart from this program, to two digits.
    CHECK(loading_mv(-900, 10, 1) == doctest::Approx(0.09).epsilon(0.01));
    CHECK(loading_mv(-900, 10, 10) == doctest::Approx(0.9).epsilon(0.01));
    CHECK(loading_mv(-900, 10, 100) == doctest::Approx(8.9).epsilon(0.01));
    CHECK(loading_mv(-900, 10, 1000) == doctest::Approx(82).epsilon(0.01));
    CHECK(loading_mv(-900, 10, 0) == 0);
}

TEST_CASE("of a meter that somebody read no logger's electronics count") {
    const auto budget = reading_budget(Scale::agcl_open, water_between(35, 35), CellCheck::checked,
                                       default_budget_terms(), StatedMeter{6, 10, 10});
    REQUIRE(budget);
    for (const BudgetLine& each : budget->lines) {
        CHECK(each.name.find("electronics") == std::string::npos);
        CHECK(each.name.find("calibration") == std::string::npos);
    }
    CHECK(line_mv(*budget, "meter") == doctest::Approx(6 / std::sqrt(3.0)));
    // 1100 mV over 10.01 Mohm, through 10 kohm: 1.099 mV.
    CHECK(line_mv(*budget, "current into the meter") ==
          doctest::Approx(1.099 / std::sqrt(3.0)).epsilon(0.001));
}

TEST_CASE("of a meter of unstated accuracy the current counts nevertheless") {
    const auto budget =
        reading_budget(Scale::agcl_open, water_between(35, 35), CellCheck::checked,
                       default_budget_terms(), StatedMeter{{}, 1, usual_source_kohm});
    const auto unstated = reading_budget(Scale::agcl_open, water_between(35, 35),
                                         CellCheck::checked, default_budget_terms());
    REQUIRE(budget);
    REQUIRE(unstated);
    CHECK(budget->lines.size() == unstated->lines.size() + 1);
    // 1100 mV over 1.01 Mohm, through 10 kohm: 10.89 mV.
    CHECK(line_mv(*budget, "current into the meter") ==
          doctest::Approx(10.89 / std::sqrt(3.0)).epsilon(0.001));
    CHECK(budget->expanded_mv() > unstated->expanded_mv());
}
