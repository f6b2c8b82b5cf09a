#include "anode/wear.h"

#include <cmath>
#include <cstdint>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant day(int number) {
    return *parse_instant("2026-01-01T00:00:00Z") + std::chrono::days{number};
}

/// Invented.
FittedAnode of_two_kg(std::vector<AnodeMassSeen> seen) {
    return {"hull, port", Alloy::aluminium, 2.0, day(0), std::move(seen)};
}

double days_from_start(Instant at) {
    return seconds_between(day(0), at) / 86400;
}

} // namespace

TEST_CASE("an anode that loses five grams a day is half gone after two hundred days") {
    const auto wear = wear_of(of_two_kg({{day(50), 1.75, true}, {day(100), 1.5, true}}), 0.5);
    REQUIRE(wear);
    CHECK(wear->rate_middle_g_day == doctest::Approx(5));
    CHECK(wear->is_wasting);
    REQUIRE(wear->renew_from);
    REQUIRE(wear->renew_to);
    CHECK(days_from_start(*wear->renew_from) < 200);
    CHECK(days_from_start(*wear->renew_to) > 200);
    CHECK(wear->share_left_at(day(100)).middle() == doctest::Approx(0.75));
    CHECK(wear->share_left_at(day(1000)).low == 0);
}

TEST_CASE("the rate of two weighings is as uncertain as the scale") {
    // By hand: 20 g each (1 % of 2 kg), sqrt(2) * 20 g over 100 days, k = 2.
    const auto wear = wear_of(of_two_kg({{day(100), 1.5, true}}), 0.5);
    REQUIRE(wear);
    CHECK(wear->rate_g_day.half_width() == doctest::Approx(2 * std::sqrt(2.0) * 20 / 100));
    CHECK(wear->rate_middle_g_day == doctest::Approx(5));
}

TEST_CASE("weighings that scatter make a wider range, by Student's t") {
    // Least squares by hand over days 0, 100, 200 and 2.0, 1.4, 1.0 kg: slope -5 g a day, residuals
    // +1/30, -1/15, +1/30 kg; chi2 of 20 g each is 16.67, t of one degree of freedom 12.706
    // (tables).
    const auto wear = wear_of(of_two_kg({{day(100), 1.4, true}, {day(200), 1.0, true}}), 0.5);
    REQUIRE(wear);
    CHECK(wear->rate_middle_g_day == doctest::Approx(5));
    const double by_hand = 12.7062 * std::sqrt(16.6667) * 20 / std::sqrt(20000.0);
    CHECK(wear->rate_g_day.half_width() == doctest::Approx(by_hand).epsilon(1e-4));
    CHECK(wear->rate_g_day.low < 0);
    // What it weighs says more than such a line: it wastes, and exactly half of it was left last.
    CHECK(wear->is_wasting);
    CHECK_FALSE(wear->is_due);
    CHECK(*wear->renew_from >= day(100));
    CHECK(lasts_until(*wear, day(400)) == Lasting::perhaps);
}

TEST_CASE("one whose weighings lie on no line is not taken for a sound one") {
    struct Case {
        std::vector<AnodeMassSeen> seen;
        bool is_due;
    };
    // Of one kilogram. Between 0.45 and 0.46 kg lies what two weighings may differ by.
    for (const Case& each : {Case{{{day(100), 0.60, true}, {day(200), 0.45, true}}, true},
                             Case{{{day(30), 0.45, true}, {day(60), 0.46, true}}, true},
                             Case{{{day(90), 0.30, true}, {day(180), 0.25, true}}, true},
                             Case{{{day(100), 0.60, true}, {day(200), 0.52, true}}, false}}) {
        const auto wear = wear_of({"rudder", Alloy::zinc, 1.0, day(0), each.seen}, 0.5);
        REQUIRE(wear);
        CHECK(wear->is_wasting);
        CHECK(wear->is_due == each.is_due);
        CHECK(lasts_until(*wear, day(2000)) == (each.is_due ? Lasting::no : Lasting::perhaps));
        REQUIRE(wear->renew_from);
        CHECK(*wear->renew_from >= day(0));
        if (each.is_due) CHECK(*wear->renew_to <= each.seen.back().at);
    }
}

TEST_CASE("an eye that sees nothing gone after a week promises nothing for years") {
    for (const double percent : {100.0, 99.0}) {
        const auto wear = wear_of(of_two_kg({{day(7), 2 * percent / 100, false}}), 0.5);
        REQUIRE(wear);
        CHECK_FALSE(wear->is_wasting);
        CHECK(lasts_until(*wear, day(7)) == Lasting::yes);
        CHECK(lasts_until(*wear, day(400)) == Lasting::perhaps);
    }
}

TEST_CASE("what is judged by eye dates nothing closely") {
    const auto weighed = wear_of(of_two_kg({{day(100), 1.5, true}}), 0.5);
    const auto by_eye = wear_of(of_two_kg({{day(100), 1.5, false}}), 0.5);
    REQUIRE(weighed);
    REQUIRE(by_eye);
    CHECK(by_eye->rate_g_day.half_width() > 5 * weighed->rate_g_day.half_width());
    CHECK(*by_eye->renew_from < *weighed->renew_from);
}

TEST_CASE("one that does not waste has no date") {
    const auto wear = wear_of(of_two_kg({{day(100), 2.0, true}, {day(200), 1.99, true}}), 0.5);
    REQUIRE(wear);
    CHECK_FALSE(wear->is_wasting);
    CHECK_FALSE(wear->renew_to);
    CHECK(lasts_until(*wear, day(300)) == Lasting::yes);
    CHECK(lasts_until(*wear, day(30000)) == Lasting::perhaps);
}

TEST_CASE("one whose line does not fall does not waste, whatever was weighed between") {
    // By hand: 1, 0.96 and 0.985 kg on days 0, 10 and 400 rise by 0.01 g a day.
    const auto wear = wear_of(
        {"rudder", Alloy::zinc, 1, day(0), {{day(10), 0.96, true}, {day(400), 0.985, true}}}, 0.5);
    REQUIRE(wear);
    CHECK(wear->rate_middle_g_day < 0);
    CHECK_FALSE(wear->is_wasting);
}

TEST_CASE("it lasts to a haul-out, perhaps, or not") {
    const auto wear = wear_of(of_two_kg({{day(50), 1.75, true}, {day(100), 1.5, true}}), 0.5);
    REQUIRE(wear);
    CHECK(lasts_until(*wear, day(150)) == Lasting::yes);
    CHECK(lasts_until(*wear, day(200)) == Lasting::perhaps);
    CHECK(lasts_until(*wear, day(260)) == Lasting::no);
}

TEST_CASE("where the range of the line is checked, made weighings lie inside in 19 of 20 cases") {
    // Masses with normal errors of 1 %, three weighings, by a fixed recurrence (no library's
    // generator, so that every machine draws the same).
    std::uint64_t state = 88172645463325252ULL;
    const auto uniform = [&] {
        state ^= state << 13U;
        state ^= state >> 7U;
        state ^= state << 17U;
        return (static_cast<double>(state >> 11U) + 0.5) / 9007199254740992.0;
    };
    const auto normal = [&] {
        return std::sqrt(-2 * std::log(uniform())) * std::cos(2 * 3.14159265358979 * uniform());
    };
    int rate_covered = 0, date_covered = 0;
    constexpr int draws = 4000;
    for (int i = 0; i < draws; ++i) {
        const double rate = 0.002 + 0.006 * uniform();
        FittedAnode anode = of_two_kg({});
        anode.new_mass_kg = 2.0 + 0.02 * normal();
        for (const int at : {60, 120, 180})
            anode.seen.push_back({day(at), 2.0 - rate * at + 0.02 * normal(), true});
        const auto wear = wear_of(anode, 0.5);
        REQUIRE(wear);
        if (wear->rate_g_day.low <= rate * 1000 && rate * 1000 <= wear->rate_g_day.high)
            ++rate_covered;
        const double half_gone = 1.0 / rate;
        if (wear->renew_from && days_from_start(*wear->renew_from) <= half_gone &&
            (!wear->renew_to || days_from_start(*wear->renew_to) >= half_gone))
            ++date_covered;
    }
    CHECK(rate_covered >= draws * 0.95);
    CHECK(date_covered >= draws * 0.94); // the new mass itself is in error in what is half of it
}

TEST_CASE("what cannot be is refused, with the date") {
    const auto refusal = [](std::vector<AnodeMassSeen> seen) {
        const auto wear = wear_of(of_two_kg(std::move(seen)), 0.5);
        REQUIRE_FALSE(wear);
        CHECK(wear.error().code == ErrorCode::wrong_input);
        return wear.error().what;
    };
    CHECK(refusal({{day(-3), 1.9, true}}).find("before its fitting") != std::string::npos);
    CHECK(refusal({{day(50), 1.2, true}, {day(90), 1.6, true}}).find("grew") != std::string::npos);
    CHECK(refusal({{day(50), 1.2, true}, {day(50), 1.2, true}}).find("not later") !=
          std::string::npos);
    CHECK(refusal({{day(50), -1, true}}).find("cannot be") != std::string::npos);
    CHECK(wear_of(of_two_kg({}), 0.5).error().code == ErrorCode::not_found);
}

TEST_CASE("a kilogram of zinc in a year is a tenth of an ampere at most") {
    // By hand: 1000 g / 365.25 d * 780 Ah/kg / 24 h = 89 mA.
    const Range current = current_of_wear_a({1000 / 365.25, 1000 / 365.25}, Alloy::zinc);
    CHECK(current.low == doctest::Approx(0.08898).epsilon(1e-3));
    CHECK(current_of_wear_a({-1, 2}, Alloy::zinc).low == 0);
}

TEST_CASE("mass and mean current are two sides of one charge") {
    // 0.1 A of zinc for 100 days, by hand: 240 Ah / 780 Ah/kg.
    const Range used = mass_used_kg({0.1, 0.1}, 100, Alloy::zinc);
    CHECK(used.low == doctest::Approx(240.0 / 780));
    const Range current = current_of_wear_a({used.low * 10, used.low * 10}, Alloy::zinc);
    CHECK(current.low == doctest::Approx(0.1));
    // A range of capacity widens the mass.
    CHECK(mass_used_kg({0.1, 0.2}, 100, Alloy::aluminium).high ==
          doctest::Approx(0.2 * 2400 / 2000));
}

TEST_CASE("renewing early throws away what would have served, coming out once more costs more") {
    // Three quarters left of an anode of 80, renewed when half is gone: half of its use is left.
    const RenewalCost cost = cost_of_renewing_now(0.75, 0.5, 80, 350);
    CHECK(cost.thrown_away == doctest::Approx(40));
    CHECK(cost.now_is_cheaper);
    CHECK_FALSE(cost_of_renewing_now(0.95, 0.5, 800, 350).now_is_cheaper);
    CHECK(cost_of_renewing_now(0.3, 0.5, 80, 350).thrown_away == 0);
    CHECK(cost_of_renewing_now(-0.2, 0.5, 80, 350).thrown_away == 0);
    CHECK(cost_of_renewing_now(1.02, 0.5, 80, 350).thrown_away == 80); // never more than it costs
}

TEST_CASE("of one that is gone only the least rate is known") {
    // By hand: 2 kg less 2 x 20 g (1 % of new, k = 2) in 100 days; from the weighing of day 50 on
    // 1.6 kg less 40 g in 50 days, which is more.
    const auto gone = wear_of(of_two_kg({{day(100), 0, true}}), 0.5);
    REQUIRE(gone);
    CHECK(gone->rate_g_day.low == doctest::Approx(1960.0 / 100));
    CHECK(std::isinf(gone->rate_g_day.high));
    CHECK(gone->gone_by == day(100));
    CHECK(gone->is_due);
    CHECK(*gone->renew_from == day(0));
    CHECK(*gone->renew_to == day(100));
    const auto weighed = wear_of(of_two_kg({{day(50), 1.6, true}, {day(100), 0, true}}), 0.5);
    REQUIRE(weighed);
    CHECK(weighed->rate_g_day.low == doctest::Approx(1560.0 / 50));
    CHECK(*weighed->renew_from == day(50));
}

TEST_CASE("that nothing is left says nothing of how long that has been so") {
    // Looked at twice: the second look at the bare stud does not slow the wear down.
    const auto once = wear_of(of_two_kg({{day(100), 0, true}}), 0.5);
    const auto twice = wear_of(of_two_kg({{day(100), 0, true}, {day(300), 0, true}}), 0.5);
    REQUIRE(once);
    REQUIRE(twice);
    CHECK(twice->rate_g_day.low == once->rate_g_day.low);
    CHECK(twice->gone_by == day(100));
    CHECK(twice->share_left_at(day(301)).high == 0);
    CHECK(twice->share_left_at(day(60)).low == 0);
    CHECK(twice->share_left_at(day(60)).high == 1);
}

TEST_CASE("half of it was gone between the weighings on both sides") {
    const auto wear =
        wear_of(of_two_kg({{day(50), 1.6, true}, {day(80), 0.7, true}, {day(100), 0, true}}), 0.5);
    REQUIRE(wear);
    CHECK(*wear->renew_from == day(50));
    CHECK(*wear->renew_to == day(80));
}
