// How fast the real firmware sends its records, in simulated cycles, at each speed of the line; and
// how both sides find back to the first one.
#include "logger_client.h"

#include "board/circuit.h"

#include <doctest/doctest.h>

using namespace quaycell::bench;
using namespace std::chrono_literals;
namespace wire = quaycell::wire;
namespace board = quaycell::board;

namespace {

/// A logger with 40 minutes of readings at one a second, which records on.
struct Logger {
    Board board{read_firmware(QUAYCELL_LOGGER_ELF),
                read_scenario(QUAYCELL_SCENARIOS "/quiet-berth.toml")};
    LoggerClient host{board};

    Logger() {
        host.plug();
        host.arm(1);
        host.unplug();
        board.run_for(40min);
        host.plug();
    }
    /// Nothing that real hardware would not have forgiven.
    ~Logger() { CHECK_MESSAGE(board.findings().empty(), board.findings().to_text()); }
    Logger(const Logger&) = delete;
    Logger& operator=(const Logger&) = delete;
};

void check_equal_to_flash(const std::vector<DownloadedSlot>& slots, const Board& board) {
    const auto image = board.flash().image();
    for (const DownloadedSlot& slot : slots) {
        const std::size_t at = std::size_t{slot.sequence} * wire::record_size % image.size();
        REQUIRE(std::equal(slot.bytes.begin(), slot.bytes.end(),
                           image.begin() + static_cast<std::ptrdiff_t>(at)));
    }
}

/// Record bytes that came, of the bytes that the line can carry from the request to the end.
double share_of_line(Logger& logger, std::uint8_t speed) {
    const wire::StatusReply before = logger.host.status();
    if (speed != 0) logger.host.set_speed(speed);
    const Time begun = logger.board.now();
    const auto slots = logger.host.download(before.tail_sequence, before.next_sequence);
    const std::chrono::duration<double> took = logger.board.now() - begun;
    CHECK(slots.size() == before.next_sequence - before.tail_sequence);
    check_equal_to_flash(slots, logger.board);
    const double carried = wire::baud_of(speed) / 10.0 * took.count();
    const double delivered = static_cast<double>(slots.size() * wire::record_size);
    MESSAGE("at ", wire::baud_of(speed), " Bd: ", delivered / took.count(),
            " record bytes a second, ", 100 * delivered / carried, " % of the line");
    return delivered / carried;
}

/// Whether a hello at this speed is answered at it.
bool answers_at(Board& logger, std::uint8_t speed) {
    std::array<std::uint8_t, wire::max_frame> hello;
    const auto length = wire::write_frame(hello.data(), wire::MessageType::hello, 1,
                                          wire::Hello{wire::protocol_version, 0});
    const std::uint8_t zero = 0;
    logger.set_host_baud(wire::baud_of(speed));
    logger.send({&zero, 1});
    logger.send({hello.data(), length});
    logger.run_for(100ms);
    wire::FrameReader<wire::max_content> reader;
    bool answered = false;
    for (const std::uint8_t byte : logger.take_output())
        answered |= reader.push(byte) == wire::FrameEvent::frame;
    return answered;
}

/// A logger that runs at this speed, and has been asked something at it.
struct FastLogger : Logger {
    explicit FastLogger(std::uint8_t speed) {
        host.set_speed(speed);
        host.hello();
    }
};

} // namespace

TEST_CASE("record bytes fill the line, while a reading is taken every second") {
    Logger logger;
    CHECK(share_of_line(logger, 0) >= 0.94);
    CHECK(share_of_line(logger, 1) >= 0.94);
    CHECK(share_of_line(logger, 2) >= 0.90);
    CHECK(share_of_line(logger, 3) >= 0.50);

    CHECK_FALSE(logger.board.interrupts().routines().empty());
    for (const auto& [vector, routine] : logger.board.interrupts().routines()) {
        const double longest_us = static_cast<double>(routine.longest) * 1e6 / board::cpu_hz;
        CHECK_MESSAGE(longest_us <= 60, vector_name(vector));
    }
}

TEST_CASE("readings that are due during a fast download are taken, each at its second") {
    FastLogger logger(2);
    const wire::StatusReply before = logger.host.status();
    for (int i = 0; i < 5; ++i)
        logger.host.download(before.tail_sequence, before.next_sequence);
    const wire::StatusReply after = logger.host.status();
    const auto slots = logger.host.download(before.next_sequence, after.next_sequence);
    REQUIRE(slots.size() >= 7);
    for (std::size_t i = 0; i < slots.size(); ++i) {
        REQUIRE(wire::is_valid_record(slots[i].bytes.data()));
        if (i > 0)
            CHECK(slots[i].as<wire::RecordHead>().ticks_s ==
                  slots[i - 1].as<wire::RecordHead>().ticks_s + 1);
    }
}

TEST_CASE("at every speed the logger answers at that speed and at no other") {
    for (std::uint8_t speed = 0; speed <= wire::fastest_speed; ++speed) {
        CAPTURE(speed);
        FastLogger logger(speed);
        for (std::uint8_t other = 0; other <= wire::fastest_speed; ++other)
            CHECK(answers_at(logger.board, other) == (other == speed));
    }
}

TEST_CASE("a speed that nobody confirms lasts a second") {
    Logger logger;
    logger.host.set_speed(3);
    logger.board.run_for(1300ms);
    CHECK(answers_at(logger.board, 0));
}

TEST_CASE("a host that falls silent finds the logger back at the first speed") {
    FastLogger logger(2);
    SUBCASE("not at once") {
        logger.board.run_for(800ms);
        CHECK(answers_at(logger.board, 2));
    }
    SUBCASE("after two seconds") {
        logger.board.run_for(2200ms);
        CHECK_FALSE(answers_at(logger.board, 2));
        CHECK(answers_at(logger.board, 0));
    }
}

TEST_CASE("a long answer is no silence") {
    FastLogger logger(1);
    const wire::StatusReply status = logger.host.status();
    const Time begun = logger.board.now();
    logger.host.download(status.tail_sequence, status.next_sequence);
    CHECK(logger.board.now() - begun > 3s);
    CHECK(answers_at(logger.board, 1));
}

TEST_CASE("a cable that is pulled ends the speed") {
    FastLogger logger(2);
    logger.board.set_host_present(false);
    logger.board.run_for(20ms);
    logger.board.set_host_present(true);
    logger.board.run_for(20ms);
    CHECK(answers_at(logger.board, 0));
}

TEST_CASE("eight broken frames in a row end the speed") {
    FastLogger logger(2);
    const std::array<std::uint8_t, 8> broken{7, 1, 1, 1, 0x80, 0x80, 0x80, 0};
    for (int i = 0; i < 7; ++i)
        logger.board.send(broken);
    CHECK(answers_at(logger.board, 2));
    for (int i = 0; i < 8; ++i)
        logger.board.send(broken);
    logger.board.run_for(10ms);
    CHECK(answers_at(logger.board, 0));
}

TEST_CASE("a power cut at a raised speed ends it") {
    FastLogger logger(3);
    logger.board.cut_power();
    logger.board.run_for(500ms);
    CHECK(answers_at(logger.board, 0));
}

TEST_CASE("a power cut between any two bits of a download is nothing that the firmware did") {
    Logger logger;
    std::array<std::uint8_t, wire::max_frame> read;
    const auto length = wire::write_frame(read.data(), wire::MessageType::read, 1,
                                          wire::Read{logger.host.status().tail_sequence, 1000});
    for (int i = 0; i < 40; ++i) {
        logger.board.set_host_baud(wire::baud_rate);
        LoggerClient host(logger.board);
        host.set_speed(3);
        host.hello();
        logger.board.send({read.data(), length});
        logger.board.run_for(20ms + i * 113us);
        logger.board.cut_power();
        logger.board.take_output(); // the rest of the read
        logger.board.run_for(500ms);
    }
}
