#include "judging/cell_checks.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace std::chrono_literals;

namespace {

const Instant monday = parse_instant("2026-06-01T00:00:00Z").value();
const Instant sunday = monday + 6 * 24h;

CellCheckRow check(Instant at, const char* finding, const char* against = "cell",
                   const char* cell = "C-17") {
    return {cell, at, against, 2.0, finding, "A. Surveyor (invented)", at};
}

CellTrust trust(const std::vector<CellCheckRow>& checks) {
    return trust_in(checks, "C-17", monday, sunday);
}

Boat with_last_check(const char* day) {
    Boat boat{};
    boat.cell_last_check = day;
    return boat;
}

} // namespace

TEST_CASE("a good comparison within a day of every reading makes the cell a compared one") {
    const Instant tuesday = monday + 24h;
    const auto of_a_day = [&](const std::vector<CellCheckRow>& checks) {
        return trust_in(checks, "C-17", monday, tuesday).check;
    };
    CHECK(of_a_day({check(monday, "good")}) == CellCheck::checked);
    CHECK(of_a_day({check(tuesday, "good")}) == CellCheck::checked);
    CHECK(of_a_day({check(monday + 12h, "good")}) == CellCheck::checked);
    CHECK_FALSE(of_a_day({check(monday - 1h, "good")})); // an hour of them lies later than a day
    CHECK_FALSE(of_a_day({check(monday, "good", "cell", "C-18")}));
    CHECK_FALSE(of_a_day({check(monday, "doubtful", "zinc")}));
    CHECK_FALSE(of_a_day({}));
    CHECK(trust_in({check(tuesday, "good")}, "C-17", monday, monday + 48h).check ==
          CellCheck::checked);
}

TEST_CASE("a cell that was good before and after counts as compared all the time between") {
    CHECK(trust({check(monday - 10 * 24h, "good"), check(sunday + 10 * 24h, "good")}).check ==
          CellCheck::checked);
    CHECK(trust({check(monday + 24h, "good"), check(sunday - 24h, "good")}).check ==
          CellCheck::checked);
}

TEST_CASE("of one comparison too few for a long trace it is told which one is missing") {
    const CellTrust before = trust({check(monday, "good")});
    CHECK_FALSE(before.check);
    REQUIRE(before.remarks.size() == 2);
    CHECK(before.remarks[0].find("does not count") == std::string::npos);
    CHECK(before.remarks[1].find("the last good one, 2026-06-01T00:00:00Z, is more than 1 d before "
                                 "the last reading: compare it again when it comes home") !=
          std::string::npos);
    CHECK(before.remarks[1].find("after the first reading") == std::string::npos);

    const CellTrust after = trust({check(sunday, "good")});
    CHECK_FALSE(after.check);
    CHECK(after.remarks[1].find("the first good one, 2026-06-07T00:00:00Z, is more than 1 d after "
                                "the first reading") != std::string::npos);

    const CellTrust amid = trust({check(monday + 3 * 24h, "good")});
    CHECK_FALSE(amid.check);
    CHECK(amid.remarks[1].find("compare it before it goes out") != std::string::npos);
    CHECK(amid.remarks[1].find("compare it again when it comes home") != std::string::npos);
}

TEST_CASE("a cell that was rejected within a day of the readings judges none of them") {
    const CellTrust both = trust({check(monday, "good"), check(sunday + 1h, "rejected")});
    CHECK(both.check == CellCheck::unchecked);
    REQUIRE(both.rejected);
    CHECK(both.rejected->find("its readings are not judged") != std::string::npos);
}

TEST_CASE("a doubtful comparison is not outweighed by the vessel file's date of the same day") {
    const CellTrust doubtful = trust_in({check(monday, "doubtful")}, "C-17", monday, monday + 1h);
    Boat boat = with_last_check("2026-06-01");
    boat.cell_check = doubtful.check;
    CHECK(cell_check_of(boat, monday, monday + 1h) == CellCheck::unchecked);
    CHECK(doubtful.remarks.back().find("counts as one that was not compared") != std::string::npos);
}

TEST_CASE("a cell that is found worse later counts as one that was not compared") {
    for (const char* const finding : {"doubtful", "rejected"}) {
        const CellTrust later = trust({check(monday, "good"), check(sunday + 20 * 24h, finding)});
        CHECK(later.check == CellCheck::unchecked);
        CHECK_FALSE(later.rejected);
        CHECK(later.remarks.back().find("since when") != std::string::npos);
    }
}

TEST_CASE("a cell that was found worse earlier counts as one that was not compared") {
    for (const char* const finding : {"doubtful", "rejected"}) {
        const CellTrust earlier =
            trust({check(monday - 20 * 24h, finding), check(sunday + 20h, "good")});
        CHECK(earlier.check == CellCheck::unchecked);
        CHECK_FALSE(earlier.rejected);
        CHECK(earlier.remarks.front().find("better by then") != std::string::npos);
        CHECK(earlier.remarks.front().find("counts as one that was not compared") !=
              std::string::npos);
    }
}

TEST_CASE("what was good between the readings and a worse comparison clears them") {
    const CellCheckRow before = check(monday - 1h, "good");
    const CellCheckRow after = check(sunday + 20h, "good");
    const CellCheckRow earlier = check(monday - 20 * 24h, "rejected");
    const CellCheckRow later = check(sunday + 20 * 24h, "rejected");
    CHECK(trust({earlier, before, after, later}).check == CellCheck::checked);
    CHECK(trust({before, after, earlier, later}).check == CellCheck::checked);
    CHECK(trust({earlier, after, later}).check == CellCheck::unchecked);
    CHECK(trust({earlier, before, later}).check == CellCheck::unchecked);
    // No zinc shows a cell to be good.
    CHECK(trust({before, check(sunday + 20h, "doubtful", "zinc"), later}).check ==
          CellCheck::unchecked);
}

TEST_CASE("a cell that was cleaned after a doubtful comparison and then agreed is a good one") {
    const CellCheckRow doubtful = check(monday - 2h, "doubtful");
    CHECK(trust({doubtful, check(monday - 1h, "good"), check(sunday, "good")}).check ==
          CellCheck::checked);
    CHECK(trust({check(monday - 3h, "good"), doubtful, check(sunday, "good")}).check ==
          CellCheck::unchecked);
}

TEST_CASE(
    "a date of the vessel file, which tells no result, counts for a day before and after it") {
    const auto near = [](const char* day, Instant first, Instant last) {
        return cell_check_of(with_last_check(day), first, last) == CellCheck::checked;
    };
    CHECK(near("2026-06-01", monday, monday + 1h));
    CHECK(near("2026-05-31", monday + 23h, monday + 23h));
    CHECK_FALSE(near("2026-05-30", monday + 1h, monday + 2h));
    CHECK(near("2026-06-02", monday, monday + 1h));
    CHECK_FALSE(near("2026-06-04", monday, sunday)); // a week that it lies in
    CHECK_FALSE(near("", monday, sunday));
}
