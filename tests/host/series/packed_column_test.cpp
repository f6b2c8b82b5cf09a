#include "series/packed_column.h"

#include "series/column.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

constexpr std::int64_t absent = -32768;

std::vector<std::int64_t> read_back(const std::vector<std::int64_t>& values) {
    PackedColumn packed(absent);
    for (const std::int64_t value : values)
        packed.add(value);
    packed.finish();
    REQUIRE(packed.size() == values.size());
    std::vector<std::int64_t> read(values.size());
    for (std::size_t first = 0; first < read.size(); first += column_piece)
        packed.read(first,
                    std::span(read).subspan(first, std::min(column_piece, read.size() - first)));
    return read;
}

/// Over several pieces, the last one begun.
template <typename Value>
std::vector<std::int64_t> values_of(Value value) {
    std::vector<std::int64_t> values;
    for (std::int64_t i = 0; i < 10'000; ++i)
        values.push_back(value(i));
    return values;
}

} // namespace

TEST_CASE("whole numbers come back as they were, whatever their spread") {
    std::mt19937_64 chance(3);
    const std::vector<std::vector<std::int64_t>> columns{
        {},
        {42},
        {absent},
        values_of([](std::int64_t) { return 7; }),
        values_of([](std::int64_t i) { return 1'735'689'600'000 + 1000 * i; }),
        values_of([](std::int64_t i) { return 1'735'689'600'000 + 1000 * i + (i > 5000 ? 1 : 0); }),
        values_of([&](std::int64_t) { return 14'000 + static_cast<std::int64_t>(chance() % 200); }),
        values_of([&](std::int64_t) { return static_cast<std::int64_t>(chance() % 60'000); }),
        values_of([&](std::int64_t) { return static_cast<std::int64_t>(chance() >> 20U); }),
        values_of([&](std::int64_t) { return static_cast<std::int64_t>(chance()); }),
        values_of([](std::int64_t i) { return i % 2 == 0 ? INT64_MAX : INT64_MIN; }),
    };
    for (const auto& column : columns)
        CHECK(read_back(column) == column);
}

TEST_CASE("what was not measured stays missing, between values and in whole pieces") {
    const auto tenth =
        values_of([](std::int64_t i) { return i % 10 == 0 ? 300 + i % 50 : absent; });
    CHECK(read_back(tenth) == tenth);
    const auto late = values_of([](std::int64_t i) { return i < 9000 ? absent : i; });
    CHECK(read_back(late) == late);
    const auto never = values_of([](std::int64_t) { return absent; });
    CHECK(read_back(never) == never);
}

TEST_CASE("values that fit 32 bits come back in 32 bits, part of a piece too") {
    const auto tenth = values_of(
        [](std::int64_t i) { return i % 10 == 0 ? std::int64_t{-30'000} + 7 * i % 900 : absent; });
    const auto rising = values_of([](std::int64_t i) { return 2'000'000'000 - 9 * i + i % 3; });
    for (const auto& column : {tenth, rising}) {
        PackedColumn packed(absent);
        for (const std::int64_t value : column)
            packed.add(value);
        packed.finish();
        for (const std::size_t count : {std::size_t{1}, std::size_t{13}, column_piece}) {
            std::vector<std::int32_t> read(count);
            packed.read(column_piece, std::span(read));
            for (std::size_t i = 0; i < count; ++i)
                REQUIRE(read[i] == column[column_piece + i]);
        }
    }
}
