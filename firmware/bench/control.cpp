#include "bench/control.h"

#include "bench/duration.h"
#include "bench/fault_commands.h"
#include "bench/joining.h"
#include "bench/truth.h"
#include "board/circuit.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iterator>
#include <sstream>
#include <vector>

namespace quaycell::bench {

const char* const control_help =
    R"(Commands, one a line on standard input, each answered by one line:
  advance 7d   let simulated time pass as fast as it goes ("90s", "10min", "2d6h")
  time         what the time is in the simulated world
  clock        what the logger's clock shows and what the time is, at the same instant
  cut          cut the power and let it come back
  source -1500 [b] [10000]  join a source to cell A's jack (or B's) in the place of the sea: the potential
               that it shows [mV], the resistance between them [ohm]; 0 is a short
  ac 1000 50   AC on the joined sources, rms [mV] and frequency [Hz]
  open [b]     take everything off cell A's jack (or B's)
  sea          the scenario's sea again, at both
  board 5      hold the board at that temperature [degC]; the clock chip measures it within 64 s
  stack        use of the SRAM so far
  energy       what drew current, for how long, in JSON, since "energy reset" or the start
  interrupts   the longest run of every interrupt service routine, in JSON
  findings     how often the hardware would not have forgiven (each on standard error)
  save FILE    write the content of the flash
  quit         end; without it the bench serves until it is killed)";

std::string Control::execute(std::string_view line) {
    std::istringstream stream{std::string{line}};
    const std::vector<std::string> words{std::istream_iterator<std::string>{stream}, {}};
    const std::string command = words.empty() ? "" : words[0];
    const std::string argument = words.size() < 2 ? "" : words[1];
    if (command != "clock" || !argument.empty())
        if (auto answer = break_or_mend(board_, words)) return *answer;
    std::istringstream arguments{std::string{line}};
    std::string name;
    arguments >> name;
    if (const auto joined = join(board_.calibrator(), board_.now(), name, arguments))
        return *joined;
    if (words.size() > 2) return "error: too many words";
    if (command == "advance") return advance(argument);
    if (command == "save") return save(argument);
    if (command == "energy") return energy(argument);
    if (!argument.empty()) return fmt::format("error: {} takes nothing after it", command);
    if (command == "time") return "time " + world_time(scenario_, board_.now());
    if (command == "clock") return clock();
    if (command == "stack") return stack();
    if (command == "interrupts") return "interrupts " + to_json(board_.interrupts().routines());
    if (command == "findings") return findings();
    if (command == "cut") {
        board_.cut_power();
        return "cut " + world_time(scenario_, board_.now());
    }
    if (command == "quit") {
        quit_ = true;
        return "quit";
    }
    return fmt::format(
        "error: unknown command \"{}\". Known: advance, time, clock, cut, source, ac, open, sea, "
        "board, stack, energy, "
        "interrupts, findings, save, quit, converter, flash, bus, seize, battery",
        command);
}

std::string Control::advance(const std::string& length) {
    const auto parsed = parse_duration(length);
    if (!parsed) return "error: advance needs a length of time, for instance \"advance 2d6h\"";
    const auto started = std::chrono::steady_clock::now();
    auto told = started;
    const std::uint64_t active_before = board_.cycles().active;
    session_.advance(*parsed, [&] {
        const auto now = std::chrono::steady_clock::now();
        if (now - told >= std::chrono::seconds{1}) {
            told = now;
            fmt::print(stderr, "at {}\n", world_time(scenario_, board_.now()));
        }
        return go_on_();
    });
    const std::chrono::duration<double> wall = std::chrono::steady_clock::now() - started;
    const double simulated_s = std::chrono::duration<double>(*parsed).count();
    const double cycles = static_cast<double>(board_.cycles().active - active_before);
    fmt::print(stderr,
               "{:.1f} s of wall time, {:.0f} times real time, {:.0f} million instruction cycles a "
               "second\n",
               wall.count(), simulated_s / wall.count(), cycles / wall.count() * 1e-6);
    return "advanced " + world_time(scenario_, board_.now());
}

std::string Control::clock() const {
    const std::chrono::sys_seconds shown{std::chrono::seconds{board_.clock().unix_s(board_.now())}};
    return fmt::format("clock {:%Y-%m-%dT%H:%M:%SZ} world {}", shown,
                       world_time(scenario_, board_.now()));
}

std::string Control::stack() const {
    const RamUse use = board_.ram_use();
    return fmt::format("stack {} bytes, static {} bytes, never used {} bytes", use.stack,
                       use.static_data, use.untouched);
}

std::string Control::findings() const {
    const Findings& findings = board_.findings();
    fmt::print(stderr, "{}", findings.to_text());
    return fmt::format("findings {}", findings.count());
}

Control::Energy Control::energy_so_far() const {
    const EnergyMeter& meter = board_.energy();
    return {meter.use(), meter.ac_burst(), meter.stimulus()};
}

std::string Control::energy(const std::string& argument) {
    const Energy now = energy_so_far();
    if (argument == "reset") {
        energy_reset_at_ = now;
        return "energy reset";
    }
    if (!argument.empty()) return "error: energy takes nothing after it but \"reset\"";
    const Energy& from = energy_reset_at_;
    return fmt::format("energy {{\"cpu_hz\":{},\"whole\":{},\"ac_burst\":{},\"stimulus\":{}}}",
                       board::cpu_hz, to_json(now.whole - from.whole),
                       to_json(now.ac_burst - from.ac_burst),
                       to_json(now.stimulus - from.stimulus));
}

std::string Control::save(const std::string& file) const {
    if (file.empty()) return "error: save needs a file name";
    std::ofstream out{file, std::ios::binary};
    const auto image = board_.flash().image();
    out.write(reinterpret_cast<const char*>(image.data()),
              static_cast<std::streamsize>(image.size()));
    out.close();
    if (!out) return fmt::format("error: {} cannot be written", file);
    return fmt::format("saved {}", file);
}

} // namespace quaycell::bench
