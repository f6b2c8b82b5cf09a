// A logger compared on the bench with the host's own arithmetic, in the real firmware, and how far
// off it is afterwards.
#include "berth.h"

#include "calibration/second_temperature.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <vector>

using namespace quaycell;
using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

/// The clock chip measures the board's temperature every 64 s.
constexpr Time temperature_known = 66s;

/// The worst of the converter's data sheet that is accepted: offset 2.7 codes (of 3, less the noise
/// of sixteen conversions), gain 0.15 %, drift 40 ppm/K and 0.005 codes/K, curvature 1 code; and of
/// the reference's: 0.05 % (from memory), drift 12 ppm/K.
std::string worst_errors(double sign, double reference_sign) {
    return fmt::format("device_id = 7\nclock_set = true\ncalibrated = false\n"
                       "converter_offset_codes = {}\nconverter_gain_ppm = {}\n"
                       "converter_gain_drift_ppm_k = {}\nconverter_offset_drift_codes_k = {}\n"
                       "converter_inl_codes = {}\nconverter_noise_codes = 0.5\n"
                       "reference_error_ppm = {}\nreference_drift_ppm_k = {}",
                       2.7 * sign, 1500 * sign, 40 * sign, 0.005 * sign, sign, 500 * sign,
                       12 * reference_sign);
}

/// What a multimeter of 5.5 digits shows.
double shown_mv(double mv) {
    return std::round(mv * 100) / 100;
}

/// The person with source and multimeter.
class Comparing {
  public:
    Comparing(double sign, double reference_sign)
        : logger_({.logger = worst_errors(sign, reference_sign)}) {}

    void hold_board_at(double board_c) {
        board().calibrator().hold_board_at(board().now(), board_c);
        board().run_for(temperature_known);
    }

    void join(double mv) { board().calibrator().join(Cell::a, board().now(), JoinedSource{mv, 0}); }

    /// The core of the walk, as far as it makes the calibration.
    wire::Calibration compare() {
        Comparison comparison(logger_.facts().circuit);
        for (const quaycell::Step& step : comparison_steps()) {
            if (step.number > last_core_step) break;
            join(step.nominal_mv);
            const auto checks =
                comparison.take(CellInput::a, step, sample(step), {shown_mv(step.nominal_mv)});
            REQUIRE_MESSAGE(checks, (checks ? "" : to_text(checks.error())));
            for (const Check& check : *checks)
                CHECK_MESSAGE(check.accepted(), to_text(check));
        }
        CHECK(comparison.bits_check().accepted());
        return comparison.calibration({"bench", 0.27}, 1777874400);
    }

    wire::Calibration compare_again(const wire::Calibration& before) {
        SecondTemperature second(logger_.facts().circuit, before);
        const quaycell::Step& step = second_temperature_source();
        join(step.nominal_mv);
        const auto checks = second.take(CellInput::a, sample(step), {shown_mv(step.nominal_mv)});
        REQUIRE_MESSAGE(checks, (checks ? "" : to_text(checks.error())));
        for (const Check& check : *checks)
            CHECK_MESSAGE(check.accepted(), to_text(check));
        return second.calibration();
    }

    void write(const wire::Calibration& calibration) {
        const auto held =
            host()
                .ask(wire::MessageType::set_calibration, wire::SetCalibration{calibration})
                .as<wire::Calibration>();
        CHECK(wire::is_valid(held));
        logger_.ask_facts();
        CHECK(logger_.facts().calibration->a.gain_ppm == calibration.a.gain_ppm);
    }

    /// The largest error of recorded readings at 0, 25 and 50 degC from -1.8 to +0.6 V, [mV].
    double worst_off_mv() {
        double worst_mv = 0;
        for (const double board_c : {0.0, 25.0, 50.0}) {
            hold_board_at(board_c);
            for (const double mv : {-1800.0, -1100.0, 0.0, 600.0}) {
                join(mv);
                board().run_for(6s);
                logger_.record(10, 65s);
                const Trace trace = logger_.trace();
                REQUIRE(trace.potential_mv.size() >= 5);
                for (std::size_t i = 0; i < trace.potential_mv.size(); ++i) {
                    if (has(trace.quality[i], Quality::unsettled)) continue;
                    CHECK_FALSE(has(trace.quality[i], Quality::uncalibrated));
                    worst_mv = std::max(worst_mv, std::abs(trace.potential_mv[i] - mv));
                }
                host().plug();
                host().ask(wire::MessageType::stop, wire::StopRequest{0});
            }
        }
        return worst_mv;
    }

  private:
    Board& board() { return logger_.board(); }
    LoggerClient& host() { return logger_.host(); }

    Sample sample(const quaycell::Step& step) {
        host().ask(wire::MessageType::live, wire::LiveRequest{1, 0});
        Sampling sampling(CellInput::a, step.settle_s);
        for (;;) {
            const auto frame = host().next();
            REQUIRE(frame);
            if (frame->type != wire::MessageType::live_reading) continue;
            if (!sampling.take(frame->as<wire::LiveReading>())) break;
        }
        host().ask(wire::MessageType::live, wire::LiveRequest{0, 0});
        const auto sample = sampling.sample();
        REQUIRE_MESSAGE(sample, (sample ? "" : to_text(sample.error())));
        return *sample;
    }

    BerthedLogger logger_;
};

constexpr double signs[][2] = {{1, 1}, {1, -1}, {-1, 1}, {-1, -1}};

} // namespace

TEST_CASE("compared at 25 degC, the logger is right within 1.2 mV from 0 to 50 degC") {
    double worst_mv = 0;
    for (const auto& [sign, reference_sign] : signs) {
        CAPTURE(sign);
        CAPTURE(reference_sign);
        Comparing person(sign, reference_sign);
        person.hold_board_at(25);
        person.write(person.compare());
        const double off_mv = person.worst_off_mv();
        worst_mv = std::max(worst_mv, off_mv);
        CHECK(off_mv <= 1.2);
    }
    MESSAGE("DC off by ", worst_mv, " mV at worst, compared at one temperature");
}

TEST_CASE("compared at 5 and 40 degC, it is right within 0.8 mV") {
    double worst_mv = 0;
    for (const auto& [sign, reference_sign] : signs) {
        CAPTURE(sign);
        CAPTURE(reference_sign);
        Comparing person(sign, reference_sign);
        person.hold_board_at(5);
        const wire::Calibration cold = person.compare();
        person.hold_board_at(40);
        person.write(person.compare_again(cold));
        const double off_mv = person.worst_off_mv();
        worst_mv = std::max(worst_mv, off_mv);
        CHECK(off_mv <= 0.8);
    }
    MESSAGE("DC off by ", worst_mv, " mV at worst, compared at two temperatures");
}

TEST_CASE("the power cut anywhere in a SetCalibration leaves the old calibration or the new one") {
    BerthedLogger logger{{}};
    Board& board = logger.board();
    LoggerClient& host = logger.host();
    wire::Calibration next = *logger.facts().calibration;
    std::int16_t stands_ppm = next.a.gain_ppm;
    int old = 0, written = 0, tries = 0;
    // Some 90 bytes of 3.4 ms each: it is through after 0.3 s.
    for (Time cut_after = 5ms; cut_after < 500ms; cut_after += 20ms) {
        CAPTURE(cut_after.count());
        // Another byte in every place of instrument and cells: what stays alike is not written.
        ++tries;
        std::memset(
            reinterpret_cast<std::uint8_t*>(&next) + offsetof(wire::Calibration, instrument), tries,
            offsetof(wire::Calibration, reserved_too) - offsetof(wire::Calibration, instrument));
        wire::seal(next);
        host.send(wire::MessageType::set_calibration, wire::SetCalibration{next});
        board.run_for(cut_after);
        board.cut_power();
        board.take_output();
        host.plug();
        const auto held = host.ask(wire::MessageType::calibration, wire::CalibrationRequest{0})
                              .as<wire::Calibration>();
        REQUIRE(wire::is_valid(held));
        CHECK((held.a.gain_ppm == stands_ppm || held.a.gain_ppm == next.a.gain_ppm));
        (held.a.gain_ppm == stands_ppm ? old : written) += 1;
        stands_ppm = held.a.gain_ppm;
    }
    CHECK(old >= 10);
    CHECK(written >= 1);
    MESSAGE("of ", old + written, " power cuts ", old, " left the calibration of before");
}
