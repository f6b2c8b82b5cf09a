// The whole chain: sea, front end, converters, real firmware, records, the host's arithmetic.
#include "berth.h"

#include "bench/random.h"
#include "series/lead.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <initializer_list>

using namespace quaycell;
using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

double worst_off(const std::vector<double>& column, double expected) {
    double worst = 0;
    for (const double value : column)
        if (!std::isnan(value)) worst = std::max(worst, std::abs(value - expected));
    return worst;
}

std::size_t present(const std::vector<double>& column) {
    return static_cast<std::size_t>(
        std::ranges::count_if(column, [](double value) { return !std::isnan(value); }));
}

/// Whether the whole of a long list of cases is wanted, not the sample that every run does.
bool whole() {
    return std::getenv("QUAYCELL_WHOLE") != nullptr;
}

} // namespace

TEST_CASE("AC rms is right within 3 % from 0.05 to 2 V, behind every source that still counts") {
    double worst = 0;
    for (const double ac_mv : {50.0, 200.0, 1000.0, 2000.0})
        for (const double hz : {50.0, 50.2, 60.0})
            for (const double source_ohm : {0.0, 10e3, 30e3}) {
                CAPTURE(ac_mv);
                CAPTURE(hz);
                CAPTURE(source_ohm);
                BerthedLogger logger{{.ac_mv = ac_mv, .ac_hz = hz, .source_ohm = source_ohm}};
                logger.record(10, 61s);
                Trace trace = logger.trace();
                REQUIRE(present(trace.ac_mv) >= 5);
                // The first is measured before the source resistance is known.
                trace.ac_mv.erase(trace.ac_mv.begin());
                const double off = worst_off(trace.ac_mv, ac_mv) / ac_mv;
                worst = std::max(worst, off);
                CHECK(off <= 0.03);
            }
    MESSAGE("AC rms, at worst off by ", 100 * worst, " %");
}

// Simulated circuit: the amplifier clips at about 2.4 V rms.
TEST_CASE("AC that its amplifier clips is marked as at least what is read, AC below is not") {
    for (const double hz : {50.0, 60.0})
        for (const double ac_mv : {2000.0, 2200.0, 2420.0, 2600.0, 5000.0}) {
            CAPTURE(hz);
            CAPTURE(ac_mv);
            BerthedLogger logger{{.ac_mv = ac_mv, .ac_hz = hz}};
            logger.record(10, 1min);
            const Trace trace = logger.trace();
            REQUIRE(present(trace.ac_mv) >= 5);
            for (std::size_t i = 0; i < trace.ac_mv.size(); ++i) {
                CHECK(has(trace.quality[i], Quality::ac_clipped) == (ac_mv > 2400));
                CHECK(trace.ac_mv[i] < ac_mv * 1.03);
                if (ac_mv > 2400) CHECK(trace.ac_mv[i] > 2300);
            }
        }
}

TEST_CASE("2 V rms of AC move the mean of four conversions by 0.15 mV at most") {
    double worst_mv = 0;
    for (const double hz : {50.0, 50.2, 60.0})
        for (const double percent : {-10.0, -4.0, 0.0, 5.0, 10.0}) {
            CAPTURE(hz);
            CAPTURE(percent);
            const std::string errors = fmt::format(
                "device_id = 7\nclock_set = true\nconverter_rate_percent = {}", percent);
            BerthedLogger logger{{.ac_mv = 2000, .ac_hz = hz, .logger = errors}};
            logger.record(10, 3min);
            const double off_mv = worst_off(logger.trace().potential_mv, -900);
            worst_mv = std::max(worst_mv, off_mv);
            CHECK(off_mv <= 0.15);
        }
    MESSAGE("2 V rms of AC move the DC by ", worst_mv, " mV at worst");
}

TEST_CASE("a good lead is told from one that is not, whatever the source, the cable and the AC") {
    const int tries = whole() ? 1000 : 40;
    int told = 0;
    for (int i = 0; i < tries; ++i) {
        CAPTURE(i);
        const auto chance = [&](std::uint64_t place) {
            return random_fraction(static_cast<std::uint64_t>(i), place);
        };
        const bool good = i % 2 == 0;
        const bool dry = i % 4 == 1; // else open
        // Good cells up to 30 kohm; dry ones from 500 kohm on.
        Berth berth{.ac_mv = chance(1) * 2000,
                    .ac_hz = chance(2) < 0.5 ? 50.0 : 60.0,
                    .source_ohm = dry ? 500e3 * std::pow(10, chance(3)) : 30e3 * chance(3)};
        berth.more = fmt::format("[board_temperature_c]\nbase = {}\n", 50 * chance(4));
        if (!good && !dry)
            berth.more += fmt::format("[[lead]]\nwhat = \"{}\"\nat = \"0s\"\nuntil = \"1d\"\n",
                                      chance(5) < 0.5 ? "a-open" : "clip-off");
        Scenario scenario = berth.scenario(static_cast<std::uint64_t>(i) + 1);
        scenario.cable_nf = 3 * chance(6);
        Board board{read_firmware(QUAYCELL_LOGGER_ELF), scenario};
        LoggerClient host{board};
        host.plug();
        const auto circuit =
            host.ask(wire::MessageType::circuit, wire::CircuitRequest{0}).as<wire::Circuit>();
        host.ask(wire::MessageType::live, wire::LiveRequest{1, 0});
        board.run_for(4s);
        const LeadState state = lead_state(host.status().source_a, circuit);
        CHECK(state == (good ? LeadState::good : LeadState::not_good));
        told += state == (good ? LeadState::good : LeadState::not_good) ? 1 : 0;
    }
    MESSAGE("leads told right: ", told, " of ", tries);
}

TEST_CASE("an open lead, found ten minutes later: doubtful, not good, and good again") {
    BerthedLogger logger{
        {.more = "[[lead]]\nwhat = \"a-open\"\nat = \"15min\"\nuntil = \"35min\"\n"}};
    logger.record(10, 50min);
    const Trace trace = logger.trace();
    std::size_t doubtful = 0, not_good = 0;
    for (const Quality quality : trace.quality) {
        doubtful += has(quality, Quality::lead_doubtful) ? 1 : 0;
        not_good += has(quality, Quality::lead_not_good) ? 1 : 0;
    }
    // Looks at 10, 20, 30 and 40 min: from 10 to 20 nobody knows, from 20 to 40 it is known.
    CHECK(doubtful == 59);
    CHECK(not_good == 120);
    REQUIRE(trace.events.size() == 2);
    CHECK(trace.events[0].kind == EventKind::open_lead);
    CHECK(trace.events[1].why == "cell and leads are good again");
}

TEST_CASE("a second cell tells the hull's clip from a lead of its own") {
    const auto words = [](const std::string& what) {
        BerthedLogger logger{
            {.logger = "device_id = 7\nclock_set = true\ncell_b_offset_mv = 1.5",
             .more =
                 fmt::format("[[lead]]\nwhat = \"{}\"\nat = \"5min\"\nuntil = \"1d\"\n", what)}};
        logger.record(10, 11min);
        const Trace trace = logger.trace();
        CHECK(worst_off({trace.cell_b_mv.begin(), trace.cell_b_mv.begin() + 20}, -898.5) < 0.2);
        REQUIRE(trace.events.size() == 1);
        return trace.events[0].why;
    };
    CHECK(words("clip-off") == "the hull's clip is off; both cells are in the water");
    CHECK(words("a-open").find("clip holds") != std::string::npos);
}

TEST_CASE("DC error with one calibration at 25 degC and the converter's checks") {
    // Worst cases by the data sheets: offset 3 codes, gain 0.15 %, drift 40 ppm/K, 0.005 codes/K,
    // curvature 1 code; the reference 0.25 % off and drifting 12 ppm/K.
    double worst_mv = 0;
    for (const double board_c : {0.0, 25.0, 50.0})
        for (const double sign : {1.0, -1.0})
            for (const double reference_sign : {1.0, -1.0})
                for (const double potential_mv : {-1800.0, -1100.0, 0.0, 600.0}) {
                    if (!whole() && sign != reference_sign && board_c != 0) continue;
                    CAPTURE(board_c);
                    CAPTURE(potential_mv);
                    const std::string errors = fmt::format(
                        "device_id = 7\nclock_set = true\nconverter_offset_codes = {}\n"
                        "converter_gain_ppm = {}\nconverter_gain_drift_ppm_k = {}\n"
                        "converter_offset_drift_codes_k = {}\nconverter_inl_codes = {}\n"
                        "converter_noise_codes = 0.5\nreference_error_ppm = {}\n"
                        "reference_drift_ppm_k = {}",
                        3 * sign, 1500 * sign, 40 * sign, 0.005 * sign, sign, 2500 * sign,
                        12 * reference_sign);
                    BerthedLogger logger{
                        {.potential_mv = potential_mv,
                         .logger = errors,
                         .more =
                             fmt::format("[board_temperature_c]\nbase = 25\npart = [ {{ kind = "
                                         "\"step\", at = \"1s\", until = \"9d\", change = {} }} "
                                         "]\n",
                                         board_c - 25)}};
                    logger.record(60, 70min);
                    const Trace trace = logger.trace();
                    REQUIRE(trace.potential_mv.size() >= 69);
                    const double off_mv = worst_off(trace.potential_mv, potential_mv);
                    worst_mv = std::max(worst_mv, off_mv);
                    CHECK(off_mv <= 1.2);
                }
    MESSAGE("DC off by ", worst_mv, " mV at worst, calibrated at one temperature");
}
