#include "atmega328p/sampler.h"

#include "atmega328p/clocks.h"
#include "atmega328p/events.h"
#include "atmega328p/pin.h"
#include "board/circuit.h"

#include <avr/interrupt.h>

namespace quaycell {
namespace atmega328p {
namespace {

constexpr uint8_t by_64 = (1U << CS01) | (1U << CS00);
static_assert(board::sample_counter_hz == board::cpu_hz / 64, "the counter's clock");

// Converter clock: by 64, as everywhere.
constexpr uint8_t convert = (1U << ADEN) | (1U << ADSC) | (1U << ADPS2) | (1U << ADPS1);

constexpr uint8_t half_cycle = logger::samples_in_cycle / 2;

logger::Burst taken;
uint16_t left; // samples to come
bool stimulating;
logger::Cell sampled;
// Not TCCR0B: the registers of a timer that is switched off cannot be read.
volatile bool busy = false;

void stop() {
    TCCR0B = 0;
    TIMSK0 = 0;
    ADCSRA = 0;
    set_low(board::stimulus_a);
    set_low(board::stimulus_b);
    clock_off((1U << PRTIM0) | (1U << PRADC));
    busy = false;
    raise_event(event_sampled);
}

} // namespace

void Sampler::begin(logger::Cell cell, bool stimulus) {
    taken = logger::Burst{};
    stimulating = stimulus;
    sampled = cell;
    left = stimulus ? 2 * logger::samples_in_burst : logger::samples_in_burst;
    const uint8_t channel = cell == logger::Cell::a ? board::adc_ac_a : board::adc_ac_b;
    clock_on((1U << PRTIM0) | (1U << PRADC));
    ADMUX = static_cast<uint8_t>((1U << REFS0) | channel);
    if (!stimulus) ADCSRA = convert; // the first; each tick fetches one and starts the next
    TCCR0A = 1U << WGM01;            // clear on match
    TCNT0 = 0;
    OCR0A = stimulus ? board::sample_counts - 1 : board::ac_sample_counts - 1;
    TIFR0 = 1U << OCF0A;
    TIMSK0 = 1U << OCIE0A;
    busy = true;
    TCCR0B = by_64;
}

bool Sampler::running() {
    return busy;
}

const logger::Burst& Sampler::burst() {
    return taken;
}

ISR(TIMER0_COMPA_vect) {
    const uint16_t sample = ADC;
    if (left <= logger::samples_in_burst + 1) ADCSRA = convert; // not while the stimulus settles
    const uint8_t phase = static_cast<uint8_t>(left % logger::samples_in_cycle);
    if (stimulating && phase % half_cycle == 0) {
        if (sampled == logger::Cell::a)
            toggle(board::stimulus_a);
        else
            toggle(board::stimulus_b);
    }
    if (left <= logger::samples_in_burst) {
        uint16_t& sum = taken.by_phase[phase];
        sum = static_cast<uint16_t>(sum + sample);
        taken.squares += uint32_t{sample} * sample;
        if (sample < logger::ac_clips_below) taken.clipped = true;
    }
    if (--left == 0) stop();
}

} // namespace atmega328p
} // namespace quaycell
