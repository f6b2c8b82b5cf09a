#include "dossier/instrument_facts.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const StatedInstrument meter{"DMM, invented", "2026-01-02, by an invented laboratory", 4.5, 10, 20};

TraceOrigin of_csv() {
    TraceOrigin origin;
    origin.parts.resize(1);
    return origin;
}

std::string value_of(const InstrumentFacts& facts, const char* label) {
    for (const Entry& entry : facts.entries)
        if (entry.label == label) return entry.value;
    return "no such entry";
}

} // namespace

TEST_CASE("a stated meter is what the budget counts, and what the report names") {
    const auto counted = meter_of(of_csv(), meter, "visit.toml");
    REQUIRE(counted);
    REQUIRE(*counted);
    CHECK((*counted)->accuracy_mv == 4.5);
    CHECK((*counted)->input_mohm == 10);
    CHECK((*counted)->source_kohm == 20);
    const auto facts = instrument_of(of_csv(), TraceJudgement{}, meter);
    CHECK(value_of(facts, "Instrument") ==
          "DMM, invented, within 4.5 mV, input resistance 10 Mohm, as stated");
    CHECK(value_of(facts, "Calibration of the instrument") == meter.calibrated);
}

TEST_CASE("where nobody states one, that is missing") {
    CHECK_FALSE(*meter_of(of_csv(), {}, ""));
    CHECK(value_of(instrument_of(of_csv(), TraceJudgement{}, {}), "Instrument").empty());
}

TEST_CASE("a logger's readings are not said to be another instrument's") {
    TraceOrigin origin = of_csv();
    origin.is_archive = true;
    origin.parts.front().logger = LoggerRow{};
    const auto refused = meter_of(origin, meter, "visit.toml");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::wrong_input);
    CHECK(refused.error().where == "visit.toml");
}
