#include "series/column.h"

#include <doctest/doctest.h>
#include <future>
#include <numeric>

using namespace quaycell;

namespace {

constexpr std::size_t size = 3 * column_piece + 17;

/// Squares, and how often a piece was made.
Column<double> squares(std::shared_ptr<int> made) {
    return {size, [made = std::move(made)](std::size_t first, std::span<double> out) {
                ++*made;
                for (std::size_t i = 0; i < out.size(); ++i)
                    out[i] = static_cast<double>((first + i) * (first + i));
            }};
}

} // namespace

TEST_CASE("values are made a piece at a time, and are the same in any order") {
    const auto made = std::make_shared<int>(0);
    const Column<double> column = squares(made);
    REQUIRE(column.size() == size);
    for (std::size_t i = 0; i < size; ++i)
        REQUIRE(column[i] == static_cast<double>(i * i));
    CHECK(*made == 4);
    for (std::size_t i = size; i-- > 0;)
        REQUIRE(column[i] == static_cast<double>(i * i));
    CHECK(*made == 7); // the last piece was still there
    CHECK(column.front() == 0);
    CHECK(column.back() == static_cast<double>((size - 1) * (size - 1)));
}

TEST_CASE("a copy of a column that reads from another one disturbs neither, in any thread") {
    const auto shifted = [](const Column<double>& whole) {
        return Column<double>(size - 1, [whole](std::size_t first, std::span<double> out) {
            whole.read(first + 1, out);
        });
    };
    const Column<double> column =
        shifted(Column<double>(size, [](std::size_t first, std::span<double> out) {
            for (std::size_t i = 0; i < out.size(); ++i)
                out[i] = static_cast<double>((first + i) * (first + i));
        }));
    const auto count_wrong = [](const Column<double>& values) {
        std::size_t wrong = 0;
        for (int round = 0; round < 50; ++round)
            for (std::size_t i = 0; i < values.size(); ++i)
                wrong += values[i] != static_cast<double>((i + 1) * (i + 1));
        return wrong;
    };
    auto beside =
        std::async(std::launch::async, [own = column, &count_wrong] { return count_wrong(own); });
    CHECK(count_wrong(column) == 0);
    CHECK(beside.get() == 0);
}

TEST_CASE("stretches are read across the ends of pieces") {
    const Column<double> column = squares(std::make_shared<int>(0));
    std::vector<double> some(column_piece + 100);
    column.read(column_piece - 50, some);
    for (std::size_t i = 0; i < some.size(); ++i) {
        const auto at = static_cast<double>(column_piece - 50 + i);
        REQUIRE(some[i] == at * at);
    }
    CHECK(column.whole().size() == size);
    CHECK(column.from(column_piece + 1).size() == column_piece - 1);
}

TEST_CASE("a copy outlives the column that it was made from, and its values the vector") {
    Column<double> copy, of_vector;
    {
        const Column<double> column = squares(std::make_shared<int>(0));
        CHECK(column[5] == 25);
        copy = column;
        std::vector<double> values(100);
        std::iota(values.begin(), values.end(), 1.0);
        of_vector = values;
    }
    CHECK(copy[9] == 81);
    CHECK(of_vector[99] == 100);
    CHECK(Column<double>().empty());
}
