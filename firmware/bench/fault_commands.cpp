#include "bench/fault_commands.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>
#include <charconv>
#include <functional>

namespace quaycell::bench {

namespace {

struct FaultCommand {
    const char *what, *how;
    bool takes_number;
    std::int64_t lowest, highest; ///< the number
    std::function<void(Board&, std::int64_t)> carry_out;
};

constexpr std::int64_t longest_jump_s = 400'000'000; // the clock shows a century
constexpr std::int64_t highest_battery_mv = 6000;

const std::array commands{
    FaultCommand{"converter", "absent", false, 0, 0,
                 [](Board& b, std::int64_t) { b.take_out(Board::Chip::converter); }},
    FaultCommand{"converter", "dumb", false, 0, 0,
                 [](Board& b, std::int64_t) { b.silence_converter(); }},
    FaultCommand{
        "converter", "stuck", true, INT16_MIN, INT16_MAX,
        [](Board& b, std::int64_t n) { b.stick_converter_at(static_cast<std::int16_t>(n)); }},
    FaultCommand{"converter", "back", false, 0, 0,
                 [](Board& b, std::int64_t) { b.put_back(Board::Chip::converter); }},
    FaultCommand{"clock", "absent", false, 0, 0,
                 [](Board& b, std::int64_t) { b.take_out(Board::Chip::clock); }},
    FaultCommand{"clock", "stopped", false, 0, 0, [](Board& b, std::int64_t) { b.stop_clock(); }},
    FaultCommand{"clock", "mute", false, 0, 0, [](Board& b, std::int64_t) { b.mute_clock(); }},
    FaultCommand{"clock", "jump", true, -longest_jump_s, longest_jump_s,
                 [](Board& b, std::int64_t n) { b.jump_clock(std::chrono::seconds{n}); }},
    FaultCommand{"clock", "flat", false, 0, 0,
                 [](Board& b, std::int64_t) { b.empty_clock_battery(); }},
    FaultCommand{"clock", "back", false, 0, 0,
                 [](Board& b, std::int64_t) { b.put_back(Board::Chip::clock); }},
    FaultCommand{"flash", "absent", false, 0, 0,
                 [](Board& b, std::int64_t) { b.set_flash(NorState::absent); }},
    FaultCommand{"flash", "dumb", false, 0, 0,
                 [](Board& b, std::int64_t) { b.set_flash(NorState::dumb); }},
    FaultCommand{"flash", "back", false, 0, 0,
                 [](Board& b, std::int64_t) { b.set_flash(NorState::ok); }},
    FaultCommand{"bus", "held", false, 0, 0,
                 [](Board& b, std::int64_t) { b.hold_bus(Board::for_ever); }},
    FaultCommand{"bus", "held-for", true, 1, 1000,
                 [](Board& b, std::int64_t n) { b.hold_bus(static_cast<unsigned>(n)); }},
    FaultCommand{"bus", "clock-held", false, 0, 0,
                 [](Board& b, std::int64_t) { b.hold_bus_clock(true); }},
    FaultCommand{"bus", "free", false, 0, 0,
                 [](Board& b, std::int64_t) {
                     b.hold_bus(0);
                     b.hold_bus_clock(false);
                 }},
    FaultCommand{"seize", "adc", false, 0, 0,
                 [](Board& b, std::int64_t) { b.seize(Board::Part::adc, true); }},
    FaultCommand{"seize", "spi", false, 0, 0,
                 [](Board& b, std::int64_t) { b.seize(Board::Part::spi, true); }},
    FaultCommand{"seize", "eeprom", false, 0, 0,
                 [](Board& b, std::int64_t) { b.seize(Board::Part::eeprom, true); }},
    FaultCommand{
        "seize", "nothing", false, 0, 0,
        [](Board& b, std::int64_t) {
            for (const auto part : {Board::Part::adc, Board::Part::spi, Board::Part::eeprom})
                b.seize(part, false);
        }},
    FaultCommand{"battery", "at", true, 0, highest_battery_mv,
                 [](Board& b, std::int64_t n) { b.set_battery(static_cast<double>(n)); }},
    FaultCommand{"battery", "back", false, 0, 0,
                 [](Board& b, std::int64_t) { b.set_battery(std::nullopt); }},
};

std::optional<std::int64_t> number_in(const std::string& word, const FaultCommand& command) {
    std::int64_t number = 0;
    const char* const end = word.data() + word.size();
    const auto [stop, error] = std::from_chars(word.data(), end, number);
    if (error != std::errc{} || stop != end) return std::nullopt;
    if (number < command.lowest || number > command.highest) return std::nullopt;
    return number;
}

std::string carry_out(Board& board, const FaultCommand& command,
                      std::span<const std::string> words) {
    std::int64_t number = 0;
    if (words.size() != (command.takes_number ? 3U : 2U))
        return fmt::format("error: {} {} takes {} after it", command.what, command.how,
                           command.takes_number ? "one number" : "nothing");
    if (command.takes_number) {
        const auto given = number_in(words[2], command);
        if (!given)
            return fmt::format("error: {} {} takes a whole number from {} to {}", command.what,
                               command.how, command.lowest, command.highest);
        number = *given;
    }
    command.carry_out(board, number);
    return fmt::format("{}", fmt::join(words, " "));
}

} // namespace

const char* const fault_commands_help =
    R"(  converter absent|dumb|back    it does not answer, or answers and never ends a conversion
  converter stuck CODE          every conversion finds that code
  clock absent|stopped|mute|back  the clock chip; mute: its alarm pin does not move
  clock flat                    its battery was: it begins anew, in 2000
  clock jump SECONDS            it shows another time of itself; negative: back
  flash absent|dumb|back        it does not answer, or answers zeros whatever it is told
  bus held-for CLOCKS           SDA held low by a chip in the middle of a byte
  bus held|clock-held|free      SDA or SCL held low for ever; let go
  seize adc|spi|eeprom|nothing  what that part of the microcontroller begins never ends
  battery at MV|back            in place of the scenario's; below 2700 the microcontroller is reset)";

std::optional<std::string> break_or_mend(Board& board, std::span<const std::string> words) {
    std::string ways;
    for (const FaultCommand& command : commands) {
        if (words.empty() || words[0] != command.what) continue;
        if (words.size() > 1 && words[1] == command.how) return carry_out(board, command, words);
        ways += fmt::format("{}{}", ways.empty() ? "" : ", ", command.how);
    }
    if (ways.empty()) return std::nullopt;
    return fmt::format("error: {} needs one of {} after it", words[0], ways);
}

} // namespace quaycell::bench
