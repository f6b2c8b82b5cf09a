#include "series/decode.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

constexpr std::uint8_t none = wire::missing_byte, good = 14, drying = 80, open = 214;
const LoggerFacts facts{0x2a, circuit, {}};

struct Row {
    std::uint8_t a, b;
    std::uint16_t flags;
};

/// A trace of readings 10 s apart that looked so.
Trace trace_of(std::initializer_list<Row> rows) {
    std::vector<RecordBytes> records{bytes_of(arm(1, 0, 1'780'000'000))};
    std::uint32_t number = 1;
    for (const Row& row : rows) {
        ++number;
        wire::Reading record = reading(number, 10 * (number - 1), 14400);
        record.cell_b = 14450;
        record.ac_a = 8906; // 1 V rms
        record.source_a = row.a;
        record.source_b = row.b;
        record.flags = row.flags;
        records.push_back(bytes_of(record));
    }
    return decode(records, facts).value();
}

std::vector<EventKind> kinds_of(const Trace& trace) {
    std::vector<EventKind> kinds;
    for (const Event& event : trace.events)
        kinds.push_back(event.kind);
    return kinds;
}

} // namespace

TEST_CASE(
    "readings between a good look and one that is not are doubtful, because the input holds") {
    const Trace trace = trace_of({{good, open, 0},
                                  {none, none, 0},
                                  {none, none, 0},
                                  {open, open, wire::flag_not_good_a},
                                  {none, none, wire::flag_not_good_a},
                                  {good, open, 0},
                                  {none, none, 0}});
    const auto known = [&](std::size_t row) {
        return to_text(static_cast<Quality>(static_cast<unsigned>(trace.quality.at(row)) &
                                            ~static_cast<unsigned>(Quality::uncalibrated)));
    };
    CHECK(known(0).empty());
    CHECK(known(1) == "lead-doubtful");
    CHECK(known(2) == "lead-doubtful");
    CHECK(known(3) == "lead-not-good");
    CHECK(known(4) == "lead-not-good");
    CHECK(known(5).empty());
    CHECK(known(6).empty());
    CHECK(kinds_of(trace) == std::vector{EventKind::open_lead, EventKind::open_lead});
    CHECK(trace.events.at(1).why == "cell and leads are good again");
}

TEST_CASE("a cell that dries out is an event, and its readings still count") {
    const Trace trace =
        trace_of({{good, none, 0}, {none, none, 0}, {drying, none, wire::flag_drying_a}});
    CHECK(kinds_of(trace) == std::vector{EventKind::cell_dry});
    CHECK_FALSE(has(trace.quality.at(1), Quality::lead_doubtful));
    CHECK(has(trace.quality.at(2), Quality::cell_drying));
}

TEST_CASE("a cell B that never answers is none, and nothing is said of it") {
    const Trace without = trace_of({{good, open, wire::flag_not_good_b | wire::flag_saturated_b},
                                    {none, none, wire::flag_not_good_b}});
    CHECK(without.cell_b_mv.empty());
    CHECK(without.quality.at(0) == Quality::uncalibrated);
    CHECK(without.quality.at(1) == Quality::uncalibrated);
    const Trace with = trace_of({{good, good, 0}, {good, open, wire::flag_not_good_b}});
    CHECK(with.cell_b_mv.at(0) == doctest::Approx(-903.125));
    CHECK(has(with.quality.at(1), Quality::cell_b_not_good));
}

TEST_CASE("AC is corrected by the source resistance that was found last") {
    // 52 codes are 41 mV: 85 kohm.
    const Trace trace = trace_of({{52, none, 0}, {none, none, 0}});
    CHECK(trace.source_ohm.at(0) == doctest::Approx(85e3).epsilon(0.02));
    CHECK(std::isnan(trace.source_ohm.at(1)));
    CHECK(trace.ac_mv.at(0) == doctest::Approx(1000).epsilon(0.001));
    CHECK(trace.ac_mv.at(1) == doctest::Approx(1000 * (1 + 85.0 / 330)).epsilon(0.005));
}
