// quaycell-bench: the simulated logger on a pseudo-terminal.

#include "bench/control.h"
#include "bench/duration.h"
#include "bench/fault_commands.h"
#include "bench/pty.h"
#include "bench/session.h"
#include "bench/truth.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <csignal>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <poll.h>
#include <unistd.h>

namespace {

using namespace quaycell::bench;

struct Options {
    std::string scenario, port, firmware, flash_image, truth;
    std::string truth_interval = "60s";
    double pace = 0;
    bool free = false;
};

volatile std::sig_atomic_t asked_to_end = 0;
void end_politely(int) {
    asked_to_end = 1;
}

std::filesystem::path usual_firmware() {
    std::error_code error;
    const auto program = std::filesystem::read_symlink("/proc/self/exe", error);
    return program.parent_path() / ".." / "firmware" / "quaycell-logger.elf";
}

Time need_duration(const std::string& text, const char* option) {
    const auto parsed = parse_duration(text);
    if (!parsed || *parsed == Time{0})
        throw WrongInput(
            fmt::format("{}: not a length of time: \"{}\". Write for instance \"90s\", "
                        "\"10min\", \"2d6h\"",
                        option, text));
    return *parsed;
}

/// The truth beside the world, where it was asked for.
class TruthFile {
  public:
    TruthFile(const Options& options, const Scenario& scenario) : name_(options.truth) {
        if (name_.empty()) return;
        file_.open(name_);
        table_.emplace(file_, scenario, need_duration(options.truth_interval, "--truth-interval"));
        check();
    }
    void write_until(Time now) {
        if (!table_) return;
        table_->write_until(now);
        check();
    }

  private:
    void check() const {
        if (!file_)
            throw WrongInput(
                fmt::format("{}: cannot be written. Give --truth another path", name_));
    }

    std::string name_;
    std::ofstream file_;
    std::optional<TruthTable> table_;
};

std::vector<std::uint8_t> read_image(const std::string& file) {
    std::ifstream in{file, std::ios::binary};
    if (!in)
        throw WrongInput(
            fmt::format("{}: cannot be read. Give --flash-image a file that \"save\" wrote", file));
    return {std::istreambuf_iterator<char>{in}, {}};
}

void answer(const std::string& line) {
    fmt::print("{}\n", line);
    std::fflush(stdout);
}

/// Whole lines of standard input as they come.
class Lines {
  public:
    bool open() const { return open_; }
    void read_some(const std::function<void(std::string_view)>& take) {
        char bytes[512];
        const ssize_t count = read(STDIN_FILENO, bytes, sizeof bytes);
        open_ = count > 0;
        if (open_) pending_.append(bytes, static_cast<std::size_t>(count));
        for (std::size_t end; (end = pending_.find('\n')) != std::string::npos;) {
            const std::string line = pending_.substr(0, end);
            pending_.erase(0, end + 1);
            if (!line.empty()) take(line);
        }
    }

  private:
    std::string pending_;
    bool open_ = true;
};

void serve(Board& board, Pty& pty, const Options& options, const Scenario& scenario,
           TruthFile& truth) {
    const Pace pace = options.free       ? Pace::free
                      : options.pace > 0 ? Pace::fixed
                                         : Pace::talking_free;
    Session session{board, pty, pace, options.pace};
    Control control{board, session, scenario, [] { return asked_to_end == 0; }};
    Lines lines;
    answer("ready " + options.port);
    while (!control.quit() && asked_to_end == 0) {
        const auto wait = session.serve();
        truth.write_until(board.now());
        pollfd watched[] = {{STDIN_FILENO, POLLIN, 0}, {pty.descriptor(), POLLIN, 0}};
        // Without a host the terminal would report the hang-up at once, again and again.
        if (!lines.open()) watched[0].fd = -1;
        if (!board.host_present() || session.stalled()) watched[1].fd = -1;
        poll(watched, std::size(watched), static_cast<int>(wait.count()));
        if ((watched[0].revents & (POLLIN | POLLHUP)) == 0) continue;
        lines.read_some([&](std::string_view line) {
            if (control.quit()) return;
            const std::string reply = control.execute(line);
            truth.write_until(board.now());
            answer(reply);
        });
    }
}

int run(const Options& options) {
    const Scenario scenario = read_scenario(options.scenario);
    TruthFile truth{options, scenario};
    const std::filesystem::path elf =
        options.firmware.empty() ? usual_firmware() : std::filesystem::path{options.firmware};
    Board board{read_firmware(elf), scenario};
    if (!options.flash_image.empty()) board.load_flash(read_image(options.flash_image));
    Pty pty{options.port};
    std::signal(SIGINT, end_politely);
    std::signal(SIGTERM, end_politely);
    serve(board, pty, options, scenario, truth);
    if (board.findings().empty()) return 0;
    fmt::print(stderr, "the hardware would not have forgiven:\n{}", board.findings().to_text());
    return 1;
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app{
        "The Quaycell logger, simulated: its real firmware on a simulated board in a sea of your "
        "making.\nThe port looks to a host like the logger's serial port."};
    Options options;
    app.add_option("--scenario", options.scenario, "TOML file that tells what the sea does")
        ->required();
    app.add_option("--port", options.port, "path of the port to make")->required();
    app.add_option("--firmware", options.firmware, "logger ELF [beside this program]");
    app.add_option("--flash-image", options.flash_image, "content of the flash to start with");
    app.add_option("--truth", options.truth,
                   "write what the sea truly did, as far as time has come, to this CSV file");
    app.add_option("--truth-interval", options.truth_interval, "between its rows")
        ->capture_default_str();
    auto* const pace =
        app.add_option("--pace", options.pace, "simulated seconds per second, always")
            ->check(CLI::PositiveNumber);
    app.add_flag("--free", options.free, "as fast as it goes, always")->excludes(pace);
    app.footer(
        fmt::format("Without --pace and --free time is free while bytes flow and real otherwise.\n"
                    "It stands still while no host is attached.\n\n{}\n{}\n\nExamples:\n"
                    "  quaycell-bench --scenario quiet-berth.toml --port /tmp/quaycell\n"
                    "  echo 'advance 7d' | quaycell-bench --scenario quiet-berth.toml --port "
                    "/tmp/quaycell --truth truth.csv",
                    control_help, fault_commands_help));
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : 2;
    }
    try {
        return run(options);
    } catch (const WrongInput& error) {
        fmt::print(stderr, "quaycell-bench: {}\n", error.what());
        return 2;
    } catch (const std::exception& error) {
        fmt::print(stderr, "quaycell-bench: {}\n", error.what());
        return 1;
    }
}
