// What may befall the board: chips that are missing, dumb or wrong, a bus that is held, a part of
// the microcontroller that never ends what it began, and a supply that sinks.
#include "bench/board.h"

#include "bench/random.h"
#include "board/circuit.h"

#include <algorithm>
#include <utility>

namespace quaycell::bench {

namespace {

// Where the brown-out detector of board/fuses.h resets, and lets go again with its hysteresis
// (microcontroller's data sheet, typical values, from memory).
constexpr double brown_out_mv = 2700, brown_out_ends_mv = 2750;
// Below it nothing keeps what it holds. Our judgement.
constexpr double forgets_mv = 1500;

} // namespace

void Board::take_out(Chip chip) {
    if (chip == Chip::converter) {
        converter_.power_on(core_.now());
        twi_.set_present(board::converter_address, false);
    } else {
        clock_missing_ = true;
        twi_.set_present(board::clock_address, false);
    }
    schedule_chips();
}

void Board::put_back(Chip chip) {
    if (chip == Chip::converter) {
        converter_.power_on(core_.now());
        twi_.set_present(board::converter_address, true);
    } else {
        clock_missing_ = false;
        clock_mute_ = false;
        clock_.run(core_.now());
        twi_.set_present(board::clock_address, true);
    }
    schedule_chips();
}

void Board::silence_converter() {
    converter_.fall_silent();
    schedule_chips();
}

void Board::stop_clock() {
    clock_.advance(core_.now());
    clock_.stop(core_.now());
    schedule_chips();
}

void Board::jump_clock(std::chrono::seconds by) {
    clock_.advance(core_.now());
    clock_.jump(by.count());
    schedule_chips();
}

void Board::empty_clock_battery() {
    clock_.lose_power(core_.now());
    schedule_chips();
}

void Board::mute_clock() {
    clock_mute_ = true;
    schedule_chips();
}

void Board::hold_bus(unsigned clocks) {
    clocks_to_release_ = clocks;
    twi_.hold(clocks != 0);
    gpio_.drive(board::bus_data, clocks == 0);
}

void Board::hold_bus_clock(bool held) {
    twi_.hold_clock(held);
    gpio_.drive(board::bus_clock, !held);
}

void Board::seize(Part part, bool seized) {
    switch (part) {
    case Part::adc:
        return adc_.seize(seized);
    case Part::spi:
        return spi_.seize(seized);
    case Part::eeprom:
        return eeprom_.seize(seized);
    }
}

double Board::battery_mv() const {
    return battery_mv_ ? *battery_mv_ : scenario_.battery_mv.at(core_.now());
}

// The regulator's own drop at this current is left out.
double Board::supply_mv() const {
    return std::min<double>(board::supply_mv, battery_mv());
}

void Board::set_battery(std::optional<double> mv) {
    battery_mv_ = mv;
    const double supply = supply_mv();
    if (!browned_out_ && supply < brown_out_mv) {
        browned_out_ = true;
        core_.reset(bits::BORF);
        core_.hold_in_reset(true);
    }
    if (supply < forgets_mv) memory_lost_ = true;
    if (!browned_out_ || supply < brown_out_ends_mv) return;
    browned_out_ = false;
    core_.hold_in_reset(false);
    if (std::exchange(memory_lost_, false)) cut_power();
}

void Board::set_flash(NorState state) {
    flash_.become(state, core_.now(), random_bits(scenario_.seed, flash_.erases()));
}

} // namespace quaycell::bench
