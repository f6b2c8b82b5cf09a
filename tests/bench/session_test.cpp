// The bench as a host meets it: a pseudo-terminal that comes to life when it is opened.
#include "bench/control.h"
#include "bench/mcu/firmware.h"
#include "bench/pty.h"
#include "bench/session.h"
#include "wire/frame.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <fcntl.h>
#include <fstream>
#include <unistd.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;
namespace fs = std::filesystem;

namespace {

fs::path fresh_path() {
    static int count = 0;
    return fs::temp_directory_path() /
           ("quaycell-bench-test-" + std::to_string(getpid()) + "-" + std::to_string(++count));
}

struct Bench {
    Scenario scenario = read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml");
    Board board{read_firmware(QUAYCELL_LOGGER_ELF), scenario};
    fs::path link = fresh_path();
    Pty pty{link};
    Session session{board, pty, Pace::free, 0};
    Control control{board, session, scenario, [] { return true; }};

    void serve(int times) {
        for (int i = 0; i < times; ++i)
            session.serve();
    }
};

/// A host that does just what it is told.
class Host {
  public:
    explicit Host(const fs::path& port)
        : descriptor_(open(port.c_str(), O_RDWR | O_NOCTTY | O_NONBLOCK)) {
        REQUIRE(descriptor_ >= 0);
    }
    Host(const Host&) = delete;
    Host& operator=(const Host&) = delete;
    ~Host() { close(descriptor_); }

    template <typename Message>
    void send(wire::MessageType type, const Message& message) {
        std::array<std::uint8_t, wire::max_frame> bytes;
        const auto length = wire::write_frame(bytes.data(), type, 1, message);
        REQUIRE(write(descriptor_, bytes.data(), length) == length);
    }
    std::vector<std::uint8_t> fetch() {
        std::vector<std::uint8_t> bytes(65536);
        const ssize_t count = read(descriptor_, bytes.data(), bytes.size());
        bytes.resize(count > 0 ? static_cast<std::size_t>(count) : 0);
        return bytes;
    }

  private:
    int descriptor_;
};

int count_frames(const std::vector<std::uint8_t>& bytes, wire::MessageType type) {
    wire::FrameReader<wire::max_content> reader;
    int count = 0;
    for (const std::uint8_t byte : bytes)
        if (reader.push(byte) == wire::FrameEvent::frame &&
            reader.type() == static_cast<std::uint8_t>(type))
            ++count;
    return count;
}

} // namespace

TEST_CASE("the port is a link that goes away with the bench") {
    const fs::path link = fresh_path();
    {
        const Pty pty{link};
        CHECK(fs::is_symlink(link));
        CHECK(fs::is_character_file(link));
    }
    CHECK_FALSE(fs::is_symlink(link));
}

TEST_CASE("a link that a killed bench left is replaced, anything else is kept and refused") {
    const fs::path link = fresh_path();
    fs::create_symlink("/dev/pts/nobody", link);
    { const Pty pty{link}; }
    std::ofstream{link} << "precious";
    CHECK_THROWS_AS(Pty{link}, WrongInput);
    CHECK(fs::file_size(link) == 8);
    fs::remove(link);
}

TEST_CASE("time stands still until somebody opens the port") {
    Bench bench;
    bench.serve(100);
    CHECK(bench.board.now() == 0s);
    {
        const Host host{bench.link};
        bench.serve(10);
        CHECK(bench.board.now() > 0s);
    }
    bench.serve(2); // notices
    const Time left = bench.board.now();
    bench.serve(100);
    CHECK(bench.board.now() == left);
}

TEST_CASE("the logger answers through the port") {
    Bench bench;
    Host host{bench.link};
    host.send(wire::MessageType::hello, wire::Hello{wire::protocol_version, 0});
    bench.serve(20);
    const auto bytes = host.fetch();
    CHECK(count_frames(bytes, wire::MessageType::hello_reply) == 1);
    CHECK(bytes.size() == wire::frame_length(sizeof(wire::HelloReply)));
}

TEST_CASE("a host that does not fetch stops time and loses nothing") {
    Bench bench;
    Host host{bench.link};
    const auto policy = static_cast<std::uint8_t>(wire::FullPolicy::stop_when_full);
    host.send(wire::MessageType::arm, wire::ArmRequest{1, policy, 0});
    bench.serve(20);
    bench.session.advance(1h, [] { return true; });
    host.fetch();
    host.send(wire::MessageType::read,
              wire::Read{128, 3500}); // 110 KB: more than any terminal holds
    while (!bench.session.stalled())
        bench.serve(1);
    const Time stopped = bench.board.now();
    bench.serve(100);
    CHECK(bench.board.now() == stopped);

    std::vector<std::uint8_t> bytes;
    for (int i = 0; i < 20000 && count_frames(bytes, wire::MessageType::read_end) == 0; ++i) {
        const auto more = host.fetch();
        bytes.insert(bytes.end(), more.begin(), more.end());
        bench.serve(1);
    }
    CHECK(count_frames(bytes, wire::MessageType::slot_block) == 500);
    CHECK(count_frames(bytes, wire::MessageType::read_end) == 1);
}

TEST_CASE("what one host left behind does not greet the next") {
    Bench bench;
    {
        Host host{bench.link};
        host.send(wire::MessageType::read, wire::Read{0, 100});
        bench.serve(50);
    }
    bench.serve(2);
    Host next{bench.link};
    bench.serve(20);
    CHECK(next.fetch().empty());
    next.send(wire::MessageType::hello, wire::Hello{wire::protocol_version, 0});
    bench.serve(20);
    CHECK(next.fetch().size() == wire::frame_length(sizeof(wire::HelloReply)));
}

TEST_CASE("commands are answered by a line each") {
    Bench bench;
    CHECK(bench.control.execute("time") == "time 2026-05-04T06:00:00Z");
    CHECK(bench.control.execute("advance 1d2h") == "advanced 2026-05-05T08:00:00Z");
    CHECK(bench.control.execute("clock") ==
          "clock 2026-05-05T08:00:00Z world 2026-05-05T08:00:00Z");
    CHECK(bench.control.execute("cut") == "cut 2026-05-05T08:00:00Z");
    CHECK(bench.control.execute("findings") == "findings 0");
    CHECK(bench.control.execute("stack").starts_with("stack "));
    CHECK(bench.control.execute("energy").starts_with("energy {\"cpu_hz\":7372800,"));
    CHECK(
        bench.control.execute("advance soon").starts_with("error: advance needs a length of time"));
    CHECK(bench.control.execute("dance").starts_with("error: unknown command \"dance\". Known: "));
    CHECK(bench.control.execute("flash absent") == "flash absent");
    CHECK(bench.control.execute("flash back") == "flash back");
    CHECK(bench.control.execute("flash gone") ==
          "error: flash needs one of absent, dumb, back after it");
    CHECK(bench.control.execute("time flies") == "error: time takes nothing after it");
    CHECK_FALSE(bench.control.quit());
    bench.control.execute("quit");
    CHECK(bench.control.quit());
}

TEST_CASE("commands break something of the board and mend it, and say what they need") {
    Bench bench;
    const auto answer = [&](const char* line) { return bench.control.execute(line); };
    for (const char* const line :
         {"converter absent", "converter dumb", "converter stuck -14400", "converter back",
          "clock absent", "clock stopped", "clock mute", "clock flat", "clock back",
          "bus held-for 4", "bus held", "bus clock-held", "bus free", "seize adc", "seize spi",
          "seize eeprom", "seize nothing", "battery at 2600", "battery back"})
        CHECK(answer(line) == line);
    CHECK(answer("clock").starts_with("clock 2000-01-01T00:00:0"));
    CHECK(answer("clock jump 3600") == "clock jump 3600");
    CHECK(answer("clock").starts_with("clock 2000-01-01T01:00:0"));
    CHECK(answer("clock sideways") ==
          "error: clock needs one of absent, stopped, mute, jump, flat, back after it");
    CHECK(answer("bus held-for 0") == "error: bus held-for takes a whole number from 1 to 1000");
    CHECK(answer("clock jump") == "error: clock jump takes one number after it");
    CHECK(answer("seize adc now") == "error: seize adc takes nothing after it");
    CHECK(answer("advance 1min").starts_with("advanced "));
}

TEST_CASE("the flash can be saved and put into another logger") {
    Bench bench;
    bench.session.advance(10s, [] { return true; });
    const fs::path file = fresh_path();
    CHECK(bench.control.execute("save " + file.string()) == "saved " + file.string());
    REQUIRE(fs::file_size(file) == bench.board.flash().image().size());
    std::vector<std::uint8_t> image(fs::file_size(file));
    std::ifstream{file, std::ios::binary}.read(reinterpret_cast<char*>(image.data()),
                                               static_cast<std::streamsize>(image.size()));
    fs::remove(file);
    Bench other;
    other.board.load_flash(image);
    CHECK(std::ranges::equal(other.board.flash().image(), bench.board.flash().image()));
    image.pop_back();
    CHECK_THROWS_AS(other.board.load_flash(image), WrongInput);
}
