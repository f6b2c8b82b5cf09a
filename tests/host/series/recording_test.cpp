#include "series/recording.h"

#include "records.h"

#include <cmath>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;
using namespace quaycell::testing;

namespace {

constexpr std::uint32_t start_s = 1'777'896'000;
constexpr std::size_t count = 5 * column_piece + 333;

/// Readings of any codes over several pieces, with all that may stand between them, and what a
/// reading by itself says.
struct Made {
    LoggerFacts facts{0x2a, circuit, wire::Calibration{}};
    Recording recording;
    std::vector<Instant> time;
    std::vector<std::uint32_t> sequence;
    std::vector<double> potential_mv, ac_mv, temperature_c, battery_mv, source_ohm;
    std::vector<EventKind> events;

    Made() {
        facts.calibration->flags = wire::calibration_valid;
        facts.calibration->reference_code_x16 = 16 * 16'384;
        facts.calibration->a.gain_ppm = 40;
        const Conversion conversion(facts);
        ConverterState state{0.5, 16'384 - 0.5};
        std::mt19937 chance(11);
        double last_ohm = missing_value;
        put(arm(0, 0, start_s));
        put(check(0, 0, 2, 4 * 16'384, 4));
        for (std::size_t i = 0; i < count; ++i) {
            if (i % 3000 == 2999) restart();
            if (i % 3600 == 1800) {
                const auto zero = static_cast<std::int32_t>(chance() % 40);
                put(check(0, ticks_s_, zero, 4 * 16'380, 4));
                state = {zero / 4.0, 16'380 - zero / 4.0};
            }
            if (i % 5000 == 4000) lose(7);
            ticks_s_ += i % 6000 == 5000 ? 3600 : 1;
            wire::Reading record = reading(0, ticks_s_, code_like(chance, i));
            record.water = static_cast<std::uint16_t>(10'000 + chance() % 9);
            record.battery = static_cast<std::uint16_t>(15'000 - i / 1000);
            if (i % 10 == 0) record.ac_a = static_cast<std::uint16_t>(1000 + chance() % 3000);
            if (i % 600 == 5) record.source_a = static_cast<std::uint8_t>(10 + chance() % 30);
            put(record);
            time.push_back(from_unix_s(boot_at_s_ + ticks_s_));
            sequence.push_back(sequence_ - 1);
            potential_mv.push_back(conversion.cell_a_mv(record, state));
            ac_mv.push_back(conversion.ac_mv(record, last_ohm));
            temperature_c.push_back(conversion.temperature_c(record));
            battery_mv.push_back(conversion.battery_mv(record));
            source_ohm.push_back(quaycell::source_ohm(record.source_a, circuit));
            if (record.source_a != wire::missing_byte) last_ohm = source_ohm.back();
        }
        recording.finish();
    }

  private:
    static std::int16_t code_like(std::mt19937& chance, std::size_t i) {
        if (i % 997 == 0) return wire::missing_code;
        const int level = i / 7000 % 2 == 0 ? 15'000 : -2000; // the leads swapped
        return static_cast<std::int16_t>(level + static_cast<int>(chance() % 300));
    }

    template <typename Record>
    void put(Record record) {
        if (wire::is_sector_start(sequence_)) {
            auto header = sector_header(sequence_++, record.head.ticks_s);
            header.head.boot = boot_;
            recording.add(bytes_of(header));
        }
        record.head.sequence = sequence_++;
        record.head.boot = boot_;
        recording.add(bytes_of(record));
        recording.add(bytes_of(record)); // as a collection that overlaps brings it
    }

    void restart() {
        ++boot_;
        boot_at_s_ += ticks_s_ + 60;
        ticks_s_ = 0;
        put(boot(0, static_cast<std::uint32_t>(boot_at_s_), boot_));
        events.push_back(EventKind::restart);
    }

    void lose(std::uint32_t records) {
        sequence_ += records;
        events.push_back(EventKind::gap);
    }

    std::uint32_t sequence_ = 0;
    std::uint16_t boot_ = 1;
    std::int64_t boot_at_s_ = start_s;
    std::uint32_t ticks_s_ = 0;
};

bool same(double a, double b) {
    return std::isnan(a) ? std::isnan(b) : a == b;
}

void check_column(const Column<double>& column, const std::vector<double>& truth) {
    REQUIRE(column.size() == truth.size());
    std::size_t off = 0;
    for (std::size_t i = 0; i < truth.size(); ++i)
        off += !same(column[i], truth[i]);
    CHECK(off == 0);
}

} // namespace

TEST_CASE("every reading of a long recording is what its record says by itself") {
    const Made made;
    const Readings readings = made.recording.readings(made.facts, {}).value();
    CHECK(readings.time.whole() == made.time);
    CHECK(readings.sequence.whole() == made.sequence);
    check_column(readings.potential_mv, made.potential_mv);
    check_column(readings.ac_mv, made.ac_mv);
    check_column(readings.temperature_c, made.temperature_c);
    check_column(readings.battery_mv, made.battery_mv);
    check_column(readings.source_ohm, made.source_ohm);
    CHECK(readings.cell_b_mv.empty());
    for (std::size_t i = 0; i < count; i += 100)
        CHECK(readings.quality[i] == Quality::good);
    std::vector<EventKind> kinds;
    for (const Event& event : readings.events)
        kinds.push_back(event.kind);
    CHECK(kinds == made.events);
}

TEST_CASE("a recording can be read twice, with other facts") {
    const Made made;
    LoggerFacts uncalibrated = made.facts;
    uncalibrated.calibration.reset();
    const Readings first = made.recording.readings(made.facts, {}).value();
    const Readings second = made.recording.readings(uncalibrated, {}).value();
    CHECK(first.potential_mv[1] != second.potential_mv[1]);
    CHECK(second.quality[1] == Quality::uncalibrated);
    CHECK(first.time.whole() == second.time.whole());
}
