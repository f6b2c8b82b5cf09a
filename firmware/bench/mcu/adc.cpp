#include "bench/mcu/adc.h"

#include "board/circuit.h"

#include <algorithm>
#include <cmath>

namespace quaycell::bench {

namespace {

constexpr double full_scale = 1024;
constexpr double bandgap_mv = 1100;
constexpr std::uint8_t bandgap_channel = 14, ground_channel = 15;
// In converter clocks; the first after switching on also starts the analogue part.
constexpr std::uint64_t conversion_clocks = 13, first_conversion_clocks = 25;

} // namespace

Adc::Adc(Core& core, std::function<double(std::uint8_t)> input_mv,
         std::function<double()> supply_mv)
    : core_(core), input_mv_(std::move(input_mv)), supply_mv_(std::move(supply_mv)),
      interrupt_(core, vector::adc, bits::ADIE, bits::ADIF), timer_(core, [this] { done(); }) {
    core.on_write(reg::ADCSRA, [this](std::uint8_t value) { control(value); });
    core.add(*this);
}

void Adc::reset() {
    timer_.stop();
    enabled_.set(false, core_.now());
    first_ = true;
}

void Adc::refresh() {
    interrupt_.refresh(core_.is_set(bits::ADIF));
}

void Adc::sleeping(SleepMode mode) {
    if (mode == SleepMode::adc_noise_reduction) {
        if (core_.is_set(bits::ADEN) && !timer_.running()) start();
    } else if (mode != SleepMode::idle && timer_.running()) {
        core_.finding("asleep while the microcontroller's converter is busy");
    }
}

void Adc::control(std::uint8_t value) {
    core_.need_power(bits::PRADC, "ADC");
    std::uint8_t& control = core_.data(reg::ADCSRA);
    const bool clear_flag = (value & bits::ADIF.mask()) != 0;
    const auto flag = static_cast<std::uint8_t>(clear_flag ? 0 : control & bits::ADIF.mask());
    constexpr std::uint8_t own_bits = bits::ADIF.mask() | bits::ADSC.mask();
    control = static_cast<std::uint8_t>((value & ~own_bits) | flag);
    enabled_.set(core_.is_set(bits::ADEN), core_.now());
    if (core_.is_set(bits::ADATE)) core_.finding("ADC auto trigger: not played by the bench");
    if (!core_.is_set(bits::ADEN)) {
        timer_.stop();
        first_ = true;
    } else if (timer_.running()) {
        core_.set(bits::ADSC);
    } else if ((value & bits::ADSC.mask()) != 0) {
        start();
    }
    refresh();
}

double Adc::reference_mv() const {
    switch (core_.data(reg::ADMUX) >> 6) {
    case 1:
        return supply_mv_();
    case 3:
        return bandgap_mv;
    default:
        core_.finding("ADC reference that the board does not supply");
        return board::supply_mv;
    }
}

double Adc::selected_mv() const {
    const std::uint8_t channel = core_.data(reg::ADMUX) & 0x0FU;
    if (channel < 8) return input_mv_(channel);
    if (channel == bandgap_channel) return bandgap_mv;
    if (channel != ground_channel) core_.finding("ADC channel that the bench does not play");
    return 0;
}

void Adc::start() {
    core_.set(bits::ADSC);
    if (seized_) return;
    if (started_) started_(core_.data(reg::ADMUX) & 0x0FU);
    const double code = std::floor(selected_mv() * full_scale / reference_mv());
    converting_ = static_cast<std::uint16_t>(std::clamp(code, 0.0, full_scale - 1));
    const unsigned divider = 1U << std::max(1U, core_.data(reg::ADCSRA) & 7U);
    timer_.start((first_ ? first_conversion_clocks : conversion_clocks) * divider);
    first_ = false;
}

void Adc::done() {
    const unsigned shift = core_.is_set(bits::ADLAR) ? 6 : 0;
    const unsigned result = static_cast<unsigned>(converting_) << shift;
    core_.data(reg::ADCL) = static_cast<std::uint8_t>(result & 0xFFU);
    core_.data(reg::ADCH) = static_cast<std::uint8_t>(result >> 8);
    core_.set(bits::ADSC, false);
    core_.set(bits::ADIF);
    refresh();
}

} // namespace quaycell::bench
