// A calibrated logger on an aluminium boat in standard sea water, whose live readings are made up.
#pragma once

#include "judging/live_watch.h"

#include <cmath>
#include <doctest/doctest.h>

namespace quaycell::testing {

inline LoggerFacts live_facts() {
    LoggerFacts facts;
    facts.device_id = 0x77;
    facts.circuit = {62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
                     112288, 330000,  292000, 10000, 6600,
                     16384,  3300,    3600,   793,   167,
                     55,     65};
    facts.calibration = wire::Calibration{};
    facts.calibration->reference_code_x16 = 16384 * 16;
    facts.calibration->flags = wire::calibration_valid;
    return facts;
}

/// What the logger on the line finds in one reading.
struct MadeReading {
    double potential_mv = -1000;
    std::uint16_t flags = 0;
    double ac_mv = missing_value;
    std::uint8_t source_a = wire::missing_byte; ///< 14: a good cell, 214: an open lead
};

/// How the logger begins: with a look at cell and leads, or before it.
enum class FirstLook { taken, to_come };

class MadeLive {
  public:
    static constexpr std::uint8_t good_cell = 14, open_lead = 214;

    explicit MadeLive(BoatOptions boat = sea_boat(), FirstLook look = FirstLook::taken,
                      Scale display = Scale::agcl_seawater)
        : watch(prepared(std::move(boat), reading_of({}, 0), display)), look_(look) {}

    static BoatOptions sea_boat() {
        BoatOptions boat;
        boat.hull = "aluminium";
        boat.water.salinity_psu = 35;
        boat.water.temperature_c = 15;
        return boat;
    }

    /// One second after the one before.
    LiveView take(const MadeReading& made) { return take_at(at(ticks_s + 1), made); }

    /// The same, by a clock of its own.
    LiveView take_at(Instant now, const MadeReading& made = {}) {
        ++ticks_s;
        MadeReading looked = made;
        if (look_ == FirstLook::taken && made.source_a == wire::missing_byte)
            looked.source_a = good_cell;
        look_ = FirstLook::to_come;
        return watch.take(reading_of(looked, ticks_s, boot), now);
    }

    LiveView take_many(int count, const MadeReading& made) {
        REQUIRE(count > 0);
        for (int i = 1; i < count; ++i)
            take(made);
        return take(made);
    }

    static Instant at(std::uint32_t ticks_s) { return from_unix_s(1'780'000'000 + ticks_s); }

    LiveWatch watch;
    std::uint32_t ticks_s = 100;
    std::uint16_t boot = 3;

    static wire::LiveReading reading_of(const MadeReading& made, std::uint32_t ticks_s,
                                        std::uint16_t boot = 3);

  private:
    static LiveWatch prepared(const BoatOptions& boat, const wire::LiveReading& first,
                              Scale display) {
        auto judge = LiveJudge::prepare(boat, live_facts(), first, display);
        REQUIRE(judge);
        return {std::move(judge).value(), live_facts()};
    }

    FirstLook look_;
};

inline wire::LiveReading MadeLive::reading_of(const MadeReading& made, std::uint32_t ticks_s,
                                              std::uint16_t boot) {
    wire::LiveReading live{};
    wire::Reading& reading = live.reading;
    reading.head = {static_cast<std::uint8_t>(wire::RecordKind::reading), 0, boot, ticks_s,
                    ticks_s};
    reading.cell_a = static_cast<std::int16_t>(std::lround(-made.potential_mv / 0.0625));
    reading.cell_b = wire::missing_code;
    reading.ac_a = reading.ac_b = reading.water = wire::missing_count;
    reading.battery = static_cast<std::uint16_t>(4500 * 16384 / 6600);
    reading.source_a = made.source_a;
    reading.source_b = MadeLive::open_lead;
    reading.flags = made.flags;
    live.zero = live.reference = wire::missing_code;
    // The calibration has found a floor of nothing.
    if (!std::isnan(made.ac_mv))
        reading.ac_a = static_cast<std::uint16_t>(
            std::lround(made.ac_mv / (live_facts().circuit.ac_nv_per_code * 1e-6)));
    return live;
}

} // namespace quaycell::testing
