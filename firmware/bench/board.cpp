#include "bench/board.h"

#include "bench/chips/thermistor.h"
#include "bench/random.h"
#include "board/circuit.h"
#include "wire/messages.h"

#include <sim_avr.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace quaycell::bench {

namespace {

constexpr board::Pin uart_receive{'D', 0};
constexpr std::uint8_t paint = 0xC5; // what the firmware fills its free SRAM with

// Expanded uncertainty that the invented calibration claims, [uV]; our judgement.
constexpr std::uint16_t calibration_uncertainty_uv = 250;
constexpr std::uint32_t calibration_holds_s = 365 * 86400;

// Kinds of chance, so that one seed does not play the same to each.
enum Stream : std::uint64_t { sram = 1, flash_tear, eeprom_tear, converter_noise };

std::int64_t unix_of(std::chrono::sys_seconds when) {
    return when.time_since_epoch().count();
}

ConverterErrors converter_errors(const Scenario& scenario) {
    const LoggerSetup& logger = scenario.logger;
    return {logger.converter_offset_codes,     logger.converter_gain_ppm,
            logger.converter_noise_codes,      logger.converter_rate_percent / 100,
            logger.converter_gain_drift_ppm_k, logger.converter_offset_drift_codes_k,
            logger.converter_inl_codes,        random_bits(scenario.seed, converter_noise)};
}

std::optional<std::int64_t> clock_start(const Scenario& scenario) {
    if (!scenario.logger.clock_set) return std::nullopt;
    return unix_of(scenario.start);
}

} // namespace

Board::Board(const Firmware& firmware, const Scenario& scenario)
    : scenario_(scenario), ram_end_(firmware.ram_end), core_(firmware, findings_),
      spi_(core_, [this](std::uint8_t sent) { return flash_.exchange(sent, core_.now()); }),
      gpio_(core_), front_end_(scenario_),
      converter_(
          [this](unsigned input, Time from, Time to) { return converter_input_v(input, from, to); },
          [this](Time when) { return front_end_.board_c(when); }, converter_errors(scenario_),
          findings_),
      clock_(
          clock_start(scenario_), scenario_.logger.clock_drift_ppm,
          [this](Time when) { return front_end_.board_c(when); }, findings_),
      flash_(scenario_.logger.flash_mb, findings_, scenario_.worn_sectors,
             std::chrono::milliseconds{scenario_.logger.flash_erase_ms}),
      twi_(core_, [this] { schedule_chips(); }),
      adc_(
          core_, [this](std::uint8_t channel) { return adc_input_mv(channel); },
          [this] { return supply_mv(); }),
      eeprom_(core_), watchdog_(core_),
      uart_(
          core_,
          [this](std::uint8_t byte) {
              if (host_present_) output_.push_back(byte); // else the isolator is dead
          },
          [this](bool high) { gpio_.drive(uart_receive, high); }),
      energy_({core_, gpio_, converter_, flash_, twi_, adc_, watchdog_}), interrupts_(core_),
      conversion_(core_, [this] { conversion_done(); }),
      ready_pulse_(core_, [this] { gpio_.drive(board::conversion_ready, true); }),
      alarm_(core_, [this] { clock_alarm(); }),
      from_host_(core_, [this] { next_byte_from_host(); }) {
    twi_.connect(board::converter_address, converter_);
    twi_.connect(board::clock_address, clock_);
    // The levels that pull-ups and pull-downs give.
    if (scenario_.logger.flash_id_capacity)
        flash_.tell_capacity(*scenario_.logger.flash_id_capacity);
    for (const board::Pin pin : {board::flash_select, board::clock_alarm, board::conversion_ready,
                                 board::bus_data, board::bus_clock, uart_receive})
        gpio_.drive(pin, true);
    for (const board::Pin pin : {board::sensor_supply, board::host_present, board::led,
                                 board::stimulus_a, board::stimulus_b})
        gpio_.drive(pin, false);
    gpio_.on_change(board::flash_select, [this](bool high) {
        if (spi_.busy()) core_.finding("flash select moved while SPI is shifting");
        flash_.select(!high, core_.now());
    });
    gpio_.on_change(board::stimulus_a,
                    [this](bool high) { front_end_.stimulate(Cell::a, high, core_.now()); });
    gpio_.on_change(board::stimulus_b,
                    [this](bool high) { front_end_.stimulate(Cell::b, high, core_.now()); });
    gpio_.on_change(board::bus_clock, [this](bool high) {
        if (high && clocks_to_release_ != 0) hold_bus(clocks_to_release_ - 1);
    });
    write_eeprom();
    core_.add(*this);
    core_.power_cycle(random_bits(scenario_.seed, sram));
}

void Board::write_eeprom() {
    const LoggerSetup& logger = scenario_.logger;
    const auto bytes = eeprom_.bytes();
    wire::to_bytes(logger.device_id, &bytes[board::eeprom_device_id]);
    if (!logger.calibrated) return;
    const double warmer_k =
        scenario_.board_temperature_c.at(Time{0}) - Ads1115::reference_temperature_c;
    const double gain =
        1 + (logger.converter_gain_ppm + logger.converter_gain_drift_ppm_k * warmer_k) * 1e-6;
    const double reference_codes = front_end_.com_v(Time{0}) * 1e9 / board::converter_lsb_nv * gain;
    wire::Calibration calibration{};
    calibration.layout = wire::calibration_layout;
    calibration.unix_s = static_cast<std::uint32_t>(unix_of(scenario_.start));
    calibration.due_unix_s = calibration.unix_s + calibration_holds_s;
    calibration.reference_code_x16 = static_cast<std::int32_t>(std::lround(reference_codes * 16));
    calibration.zero_code_x16 =
        static_cast<std::int16_t>(std::lround(logger.converter_offset_codes * 16));
    calibration.temperature_centi_c =
        static_cast<std::int16_t>(std::lround(scenario_.board_temperature_c.at(Time{0}) * 100));
    calibration.second_temperature_centi_c = wire::unmeasured_error;
    calibration.flags = wire::calibration_valid | wire::calibration_cell_b;
    calibration.uncertainty_uv = calibration_uncertainty_uv;
    constexpr std::string_view instrument = "invented";
    std::ranges::copy(instrument, calibration.instrument);
    calibration.a = wire::unmeasured_input();
    calibration.a.gain_ppm = static_cast<std::int16_t>(std::lround((1 / gain - 1) * 1e6));
    calibration.b = calibration.a;
    wire::seal(calibration);
    wire::to_bytes(calibration, &bytes[board::eeprom_calibration]);
}

void Board::reset() {
    gpio_.drive(board::conversion_ready, true);
    schedule_chips();
    if (!to_logger_.empty()) from_host_.start(uart_.host_byte_cycles());
}

void Board::schedule_chips() {
    if (const auto done = converter_.done_at())
        conversion_.start_at(*done);
    else
        conversion_.stop();
    clock_.advance(core_.now());
    const bool silent = clock_missing_ || clock_mute_;
    gpio_.drive(board::clock_alarm, silent || !clock_.interrupting());
    const auto next = silent ? std::nullopt : clock_.next_interrupt(core_.now());
    if (next)
        alarm_.start_at(*next);
    else
        alarm_.stop();
}

void Board::conversion_done() {
    if (!converter_.advance(core_.now())) return;
    gpio_.drive(board::conversion_ready, false);
    ready_pulse_.start(Core::cycle_at(Ads1115::ready_pulse));
}

void Board::clock_alarm() {
    schedule_chips();
}

void Board::set_host_present(bool present) {
    host_present_ = present;
    if (!present) {
        to_logger_.clear();
        from_host_.stop();
    }
    gpio_.drive(board::host_present, present);
}

void Board::send(std::span<const std::uint8_t> bytes) {
    if (!host_present_) return;
    to_logger_.insert(to_logger_.end(), bytes.begin(), bytes.end());
    if (!from_host_.running()) from_host_.start(1);
}

void Board::next_byte_from_host() {
    if (to_logger_.empty()) return;
    uart_.receive(to_logger_.front());
    to_logger_.pop_front();
    from_host_.start(uart_.host_byte_cycles());
}

std::vector<std::uint8_t> Board::take_output() {
    return std::exchange(output_, {});
}

void Board::cut_power() {
    ++power_cycles_;
    const auto chance = [&](Stream stream) {
        return random_bits(random_bits(scenario_.seed, stream), power_cycles_);
    };
    flash_.cut(core_.now(), chance(flash_tear));
    eeprom_.cut(chance(eeprom_tear));
    flash_.power_on(core_.now());
    converter_.power_on(core_.now());
    front_end_.power_on(core_.now());
    core_.power_cycle(chance(sram));
}

RamUse Board::ram_use() const {
    const std::uint16_t end = core_.simulator()->ramend;
    const std::uint16_t start = static_cast<std::uint16_t>(core_.simulator()->ioend + 1);
    std::uint16_t deepest = ram_end_;
    while (deepest <= end && core_.data(deepest) == paint)
        ++deepest;
    return {static_cast<std::uint16_t>(ram_end_ - start),
            static_cast<std::uint16_t>(end + 1 - deepest),
            static_cast<std::uint16_t>(deepest - ram_end_)};
}

void Board::load_flash(std::span<const std::uint8_t> image) {
    if (image.size() != flash_.image().size())
        throw WrongInput(
            "the flash image has another size than the flash. Set flash_mb in the scenario");
    std::ranges::copy(image, flash_.image().begin());
}

double Board::converter_input_v(unsigned input, Time from, Time to) const {
    const double com_v = front_end_.com_v(from);
    if (input > 1) return com_v;
    return com_v + front_end_.cell_v(static_cast<Cell>(input), from, to);
}

double Board::adc_input_mv(std::uint8_t channel) {
    const bool powered = gpio_.level(board::sensor_supply);
    switch (channel) {
    case board::adc_ac_a:
        return front_end_.ac_output_mv(Cell::a, core_.now());
    case board::adc_ac_b:
        return front_end_.ac_output_mv(Cell::b, core_.now());
    case board::adc_thermistor:
        return powered ? thermistor_mv(scenario_.temperature_c.at(core_.now())) * supply_mv() /
                             board::supply_mv
                       : 0;
    case board::adc_battery:
        return powered ? battery_mv() / board::battery_divider : 0;
    default:
        return 0;
    }
}

} // namespace quaycell::bench
