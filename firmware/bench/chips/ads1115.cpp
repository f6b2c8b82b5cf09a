#include "bench/chips/ads1115.h"

#include "bench/random.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace quaycell::bench {

namespace {

constexpr std::uint16_t config_at_power_on = 0x8583;
constexpr std::uint16_t low_threshold_at_power_on = 0x8000;
constexpr std::uint16_t high_threshold_at_power_on = 0x7FFF;
constexpr std::uint16_t start_bit = 0x8000, single_shot_bit = 0x0100;
constexpr std::uint8_t result_pointer = 0, config_pointer = 1, low_pointer = 2, high_pointer = 3;

constexpr unsigned ground = 4;
struct Pair {
    unsigned positive, negative;
};
constexpr std::array<Pair, 8> inputs{
    {{0, 1}, {0, 3}, {1, 3}, {2, 3}, {0, ground}, {1, ground}, {2, ground}, {3, ground}}};
constexpr std::array<double, 8> full_scale_v{6.144, 4.096, 2.048, 1.024,
                                             0.512, 0.256, 0.256, 0.256};
constexpr std::array<double, 8> rate_hz{8, 16, 32, 64, 128, 250, 475, 860};
// From power-down to the start of the conversion.
constexpr double wake_s = 25e-6;

} // namespace

Ads1115::Ads1115(InputV input_v, std::function<double(Time)> temperature_c, ConverterErrors errors,
                 Findings& findings)
    : input_v_(std::move(input_v)), temperature_c_(std::move(temperature_c)), errors_(errors),
      findings_(findings) {
    power_on(Time{0});
}

void Ads1115::power_on(Time now) {
    pointer_ = result_pointer;
    result_ = 0;
    config_ = config_at_power_on;
    low_threshold_ = low_threshold_at_power_on;
    high_threshold_ = high_threshold_at_power_on;
    started_.reset();
    done_at_.reset();
    silent_ = false;
    stuck_at_.reset();
    converting_.set(false, now);
}

void Ads1115::fall_silent() {
    silent_ = true;
    done_at_.reset();
}

void Ads1115::begin(bool read, Time now) {
    advance(now);
    byte_ = 0;
    if (read) shift_ = value_of(pointer_);
}

std::uint16_t Ads1115::value_of(std::uint8_t pointer) const {
    switch (pointer) {
    case result_pointer:
        return static_cast<std::uint16_t>(result_);
    case config_pointer: // OS reads as one while nothing is being converted
        return static_cast<std::uint16_t>((config_ & ~start_bit) |
                                          (done_at_ || silent_ ? 0 : start_bit));
    case low_pointer:
        return low_threshold_;
    default:
        return high_threshold_;
    }
}

std::uint8_t Ads1115::read(Time) {
    const unsigned shift = byte_++ % 2 == 0 ? 8 : 0;
    return static_cast<std::uint8_t>((shift_ >> shift) & 0xFFU);
}

bool Ads1115::write(std::uint8_t byte, Time now) {
    switch (byte_++) {
    case 0:
        pointer_ = byte & 3U;
        break;
    case 1:
        shift_ = static_cast<std::uint16_t>(byte << 8);
        break;
    case 2:
        shift_ = static_cast<std::uint16_t>(shift_ | byte);
        if (pointer_ == config_pointer)
            configure(shift_, now);
        else if (pointer_ == low_pointer)
            low_threshold_ = shift_;
        else if (pointer_ == high_pointer)
            high_threshold_ = shift_;
        break;
    default:
        findings_.add(now, "converter: more than two bytes written to a register");
        break;
    }
    return true;
}

void Ads1115::end(Time) {}

void Ads1115::configure(std::uint16_t config, Time now) {
    const bool start = (config & start_bit) != 0;
    if ((config & single_shot_bit) == 0)
        findings_.add(now, "converter: continuous conversion, which the bench does not play");
    if (start && done_at_) {
        findings_.add(now, "converter: started while it converts");
        return;
    }
    config_ = config;
    if (!start || silent_) return;
    const double seconds = wake_s + 1 / (rate_hz[(config >> 5) & 7U] * (1 + errors_.rate_error));
    started_ = now;
    converting_.set(true, now);
    done_at_ = now + Time{static_cast<std::int64_t>(std::llround(seconds * 1e9))};
}

bool Ads1115::advance(Time now) {
    if (!done_at_ || now < *done_at_) return false;
    result_ = convert(*started_, *done_at_);
    converting_.set(false, *done_at_);
    done_at_.reset();
    const bool ready_mode = (high_threshold_ & 0x8000U) != 0 && (low_threshold_ & 0x8000U) == 0;
    return ready_mode && (config_ & 3U) != 3;
}

std::int16_t Ads1115::convert(Time from, Time to) {
    if (stuck_at_) return *stuck_at_;
    const Pair pair = inputs[(config_ >> 12) & 7U];
    const auto volts = [&](unsigned input) {
        return input == ground ? 0.0 : input_v_(input, from, to);
    };
    const double lsb_v = full_scale_v[(config_ >> 9) & 7U] / 32768;
    const double ideal = (volts(pair.positive) - volts(pair.negative)) / lsb_v;
    const double warmer_k = temperature_c_(from) - reference_temperature_c;
    const double gain_ppm = errors_.gain_ppm + errors_.gain_drift_ppm_k * warmer_k;
    const double offset = errors_.offset_codes + errors_.offset_drift_codes_k * warmer_k;
    // A wave over each half of the range: nothing at its ends and at 0.
    const double bend = errors_.inl_codes * std::sin(2 * std::numbers::pi * ideal / 32768);
    const double noise = errors_.noise_codes * random_gaussian(errors_.seed, conversions_++);
    const double code = ideal * (1 + gain_ppm * 1e-6) + offset + bend + noise;
    return static_cast<std::int16_t>(std::clamp(std::round(code), -32768.0, 32767.0));
}

} // namespace quaycell::bench
