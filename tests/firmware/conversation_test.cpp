#include "desk.h"

#include <random>

using namespace quaycell;
using namespace quaycell::test;

TEST_CASE("the line is on only while a computer is there") {
    FakeBoard board;
    Life life(board);
    CHECK_FALSE(board.line.enabled);
    CHECK(life.sleep() == logger::Sleep::power_down);
    life.plug_in(true);
    CHECK(board.line.enabled);
    CHECK(life.sleep() == logger::Sleep::idle);
    life.plug_in(false);
    CHECK_FALSE(board.line.enabled);
    CHECK(life.sleep() == logger::Sleep::power_down);
}

TEST_CASE("hello is answered with who and what the logger is") {
    Desk desk;
    const auto replies = desk.life.ask(MessageType::hello, wire::Hello{99, 0}, 0xAB);
    REQUIRE(replies.size() == 1);
    CHECK(replies[0].type == MessageType::hello_reply);
    CHECK(replies[0].sequence == 0xAB);
    const auto hello = replies[0].as<wire::HelloReply>();
    CHECK(hello.protocol == wire::protocol_version);
    CHECK(hello.layout == wire::record_layout);
    CHECK(hello.firmware_version == 0x0203);
    CHECK(hello.firmware_build == 0xABCDEF01);
    CHECK(hello.device_id == 0xFFFFFFFF);
    CHECK(hello.boot == 1);
    CHECK(hello.sector_count == 16);
    CHECK(hello.jedec_id[0] == 0xEF);
    CHECK(hello.faults == (wire::fault_identity | wire::fault_calibration));
}

TEST_CASE("the status tells the log, the time and the battery") {
    Desk desk;
    auto status = desk.status();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::idle));
    CHECK(status.next_sequence == 2);
    CHECK(status.battery == 11000);
    CHECK(status.boot == 1);
    CHECK(status.time_flags == wire::host_was_present);
    CHECK(status.unix_s == desk.board.clock.unix_s);
    desk.arm(30);
    desk.life.pass(5);
    status = desk.status();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::armed));
    CHECK(status.interval_s == 30);
    CHECK(status.tail_sequence == 128);
    CHECK(status.ticks_s == 5);
}

TEST_CASE("the circuit is told as the board's constants say") {
    Desk desk;
    const auto circuit =
        desk.life.ask(MessageType::circuit, wire::CircuitRequest{0}).at(0).as<wire::Circuit>();
    CHECK(circuit.converter_lsb_nv == 62500);
    CHECK(circuit.reference_uv == 1024000);
    CHECK(circuit.thermistor_e12_per_k[0] == 3354016000);
    CHECK(circuit.stimulus_not_good_mv == 65);
    CHECK(circuit.low_battery_mv == 3400);
}

TEST_CASE("a calibration is told when it is sound, else zeros that are not valid") {
    FakeBoard board;
    wire::Calibration stored = {};
    stored.a.gain_ppm = -321;
    stored.layout = wire::calibration_layout;
    stored.flags = wire::calibration_valid;
    wire::seal(stored);
    std::memcpy(board.eeprom.bytes.data() + board::eeprom_calibration, &stored, sizeof stored);
    SUBCASE("sound") {
        Life life(board);
        life.plug_in(true);
        const auto told = life.ask(MessageType::calibration, wire::CalibrationRequest{0})
                              .at(0)
                              .as<wire::Calibration>();
        CHECK(told.a.gain_ppm == -321);
        CHECK((told.flags & wire::calibration_valid) != 0);
        const auto hello =
            life.ask(MessageType::hello, wire::Hello{1, 0}).at(0).as<wire::HelloReply>();
        CHECK((hello.faults & wire::fault_calibration) == 0);
    }
    SUBCASE("one bit off") {
        board.eeprom.bytes[board::eeprom_calibration + 20] ^= 0x10;
        Life life(board);
        life.plug_in(true);
        const auto told = life.ask(MessageType::calibration, wire::CalibrationRequest{0})
                              .at(0)
                              .as<wire::Calibration>();
        CHECK(told.a.gain_ppm == 0);
        CHECK((told.flags & wire::calibration_valid) == 0);
    }
}

TEST_CASE("a calibration that is sent is held from then on, through a restart too") {
    FakeBoard board;
    wire::Calibration sent = {};
    sent.layout = wire::calibration_layout;
    sent.flags = wire::calibration_valid;
    sent.b.offset_uv = -250;
    wire::seal(sent);
    {
        Life life(board);
        life.plug_in(true);
        const auto hello =
            life.ask(MessageType::hello, wire::Hello{1, 0}).at(0).as<wire::HelloReply>();
        CHECK((hello.faults & wire::fault_calibration) != 0);
        const auto held = life.ask(MessageType::set_calibration, wire::SetCalibration{sent}).at(0);
        REQUIRE(held.type == MessageType::calibration_reply);
        CHECK(wire::is_valid(held.as<wire::Calibration>()));
        CHECK(held.as<wire::Calibration>().b.offset_uv == -250);
        const auto now =
            life.ask(MessageType::hello, wire::Hello{1, 0}).at(0).as<wire::HelloReply>();
        CHECK((now.faults & wire::fault_calibration) == 0);
    }
    Life again(board);
    again.plug_in(true);
    CHECK(again.ask(MessageType::calibration, wire::CalibrationRequest{0})
              .at(0)
              .as<wire::Calibration>()
              .b.offset_uv == -250);
}

TEST_CASE("a calibration is refused while recording, and when it is not whole") {
    Desk desk;
    wire::Calibration sent = {};
    sent.layout = wire::calibration_layout;
    sent.flags = wire::calibration_valid;
    wire::seal(sent);
    wire::Calibration broken = sent;
    broken.crc ^= 1;
    check_refused(desk.life.ask(MessageType::set_calibration, wire::SetCalibration{broken}),
                  MessageType::set_calibration, wire::RefusalReason::bad_argument);
    desk.arm(10);
    check_refused(desk.life.ask(MessageType::set_calibration, wire::SetCalibration{sent}),
                  MessageType::set_calibration, wire::RefusalReason::recording);
    CHECK(desk.life.ask(MessageType::calibration, wire::CalibrationRequest{0})
              .at(0)
              .as<wire::Calibration>()
              .flags == 0);
}

TEST_CASE("orders with impossible arguments are refused and change nothing") {
    Desk desk;
    check_refused(desk.life.ask(MessageType::arm, wire::ArmRequest{0, 0, 0}), MessageType::arm,
                  wire::RefusalReason::bad_argument);
    check_refused(desk.life.ask(MessageType::arm, wire::ArmRequest{3601, 0, 0}), MessageType::arm,
                  wire::RefusalReason::bad_argument);
    check_refused(desk.life.ask(MessageType::arm, wire::ArmRequest{10, 2, 0}), MessageType::arm,
                  wire::RefusalReason::bad_argument);
    check_refused(desk.life.ask(MessageType::set_clock, wire::SetClock{946684799}),
                  MessageType::set_clock, wire::RefusalReason::bad_argument);
    check_refused(desk.life.ask(MessageType::set_clock, wire::SetClock{4102444800}),
                  MessageType::set_clock, wire::RefusalReason::bad_argument);
    check_refused(desk.life.ask(MessageType::live, wire::LiveRequest{2, 0}), MessageType::live,
                  wire::RefusalReason::bad_argument);
    CHECK(desk.status().state == static_cast<uint8_t>(wire::LoggerState::idle));
    CHECK(desk.status().next_sequence == 2);
}

TEST_CASE("what is no request is refused by name") {
    Desk desk;
    check_refused(desk.life.ask(MessageType::read_end, wire::ReadEnd{0, 0}), MessageType::read_end,
                  wire::RefusalReason::unknown_request);
    check_refused(desk.life.ask(static_cast<MessageType>(0x33), wire::StatusRequest{0}),
                  static_cast<MessageType>(0x33), wire::RefusalReason::unknown_request);
}

TEST_CASE("a request of the wrong length is refused") {
    Desk desk;
    check_refused(desk.life.ask(MessageType::hello, wire::SetClock{0}), MessageType::hello,
                  wire::RefusalReason::bad_argument);
}

TEST_CASE("broken frames are met with silence, and the next good one with its answer") {
    Desk desk;
    std::vector<uint8_t> frame(wire::max_frame);
    frame.resize(wire::write_frame(frame.data(), MessageType::hello, 1, wire::Hello{1, 0}));
    frame[4] ^= 0x40;
    desk.life.receive(frame);
    desk.life.receive({0x00, 0xFF, 0x12, 0x00});
    desk.life.receive(std::vector<uint8_t>(100, 0x55));
    desk.life.receive({0x00});
    CHECK(desk.life.heard().empty());
    CHECK(desk.life.ask(MessageType::hello, wire::Hello{1, 0}).size() == 1);
}

TEST_CASE(
    "half a frame of a host that was unplugged does not swallow the next one's first request") {
    Desk desk;
    std::vector<uint8_t> half(wire::max_frame);
    half.resize(wire::write_frame(half.data(), MessageType::read, 1, wire::Read{1, 1}) / 2U);
    desk.life.receive(half);
    desk.life.plug_in(false);
    desk.life.plug_in(true);
    const auto replies = desk.life.ask(MessageType::hello, wire::Hello{1, 0}, 2);
    REQUIRE(replies.size() == 1);
    CHECK(replies[0].type == MessageType::hello_reply);
}

TEST_CASE("stopping when nothing is recorded is no fault and writes nothing") {
    Desk desk;
    CHECK(desk.life.ask(MessageType::stop, wire::StopRequest{0}).at(0).type ==
          MessageType::status_reply);
    CHECK(desk.status().next_sequence == 2);
}

TEST_CASE("stopping ends the readings with a record") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    desk.life.ask(MessageType::stop, wire::StopRequest{0});
    const uint32_t next = desk.status().next_sequence;
    const auto stop = wire::from_bytes<wire::Stop>(desk.board.flash.slot(next - 1));
    CHECK(stop.reason == static_cast<uint8_t>(wire::StopReason::asked));
    CHECK(stop.unix_s == desk.board.clock.unix_s);
    desk.life.pass(10);
    CHECK(desk.status().next_sequence == next);
}

TEST_CASE("what the computer has seen all of is forgotten, and recording ends") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    desk.life.ask(MessageType::stop, wire::StopRequest{0});
    const uint32_t next = desk.status().next_sequence;
    const auto forgotten = desk.life.ask(MessageType::forget, wire::ForgetRequest{next});
    REQUIRE(forgotten.size() == 1);
    REQUIRE(forgotten[0].type == MessageType::status_reply);
    const auto status = forgotten[0].as<wire::StatusReply>();
    CHECK(status.state == static_cast<uint8_t>(wire::LoggerState::idle));
    CHECK(status.tail_sequence == 256);
    CHECK(status.next_sequence == 258);
    CHECK(status.interval_s == 1);
    const auto stop = wire::from_bytes<wire::Stop>(desk.board.flash.slot(257));
    CHECK(stop.reason == static_cast<uint8_t>(wire::StopReason::forgotten));
    CHECK(stop.unix_s == desk.board.clock.unix_s);

    SUBCASE("and once more, when the answer was lost, it does nothing") {
        const auto again = desk.life.ask(MessageType::forget, wire::ForgetRequest{next});
        CHECK(again.at(0).type == MessageType::status_reply);
        CHECK(desk.status().next_sequence == 258);
    }
    SUBCASE("and nothing is read of it any more") {
        check_refused(desk.read(128, 1), MessageType::read, wire::RefusalReason::not_that_old);
    }
}

TEST_CASE("a logger that records ends that when it is told to forget") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    const uint32_t next = desk.status().next_sequence;
    desk.life.ask(MessageType::forget, wire::ForgetRequest{next});
    const uint32_t end = desk.status().next_sequence;
    desk.life.pass(10);
    CHECK(desk.status().next_sequence == end);
}

TEST_CASE("what the computer has not seen all of is not forgotten") {
    Desk desk;
    desk.arm(1);
    desk.life.pass(5);
    const auto before = desk.status();
    for (const uint32_t seen : {before.next_sequence - 1, before.next_sequence + 1})
        check_refused(desk.life.ask(MessageType::forget, wire::ForgetRequest{seen}),
                      MessageType::forget, wire::RefusalReason::bad_argument);
    CHECK(desk.status().next_sequence == before.next_sequence);
    CHECK(desk.status().tail_sequence == before.tail_sequence);
    CHECK(desk.status().state == static_cast<uint8_t>(wire::LoggerState::armed));
}

TEST_CASE("arming answers while the flash still erases only once it is done, hello at once") {
    Desk desk;
    desk.life.pass(1);
    desk.board.flash.erase_polls = 40;
    const auto armed = desk.life.ask(MessageType::arm, wire::ArmRequest{10, 1, 0});
    REQUIRE(armed.size() == 1);
    CHECK(armed[0].as<wire::StatusReply>().state == static_cast<uint8_t>(wire::LoggerState::armed));
    CHECK(armed[0].as<wire::StatusReply>().policy ==
          static_cast<uint8_t>(wire::FullPolicy::overwrite_oldest));
}

TEST_CASE("whatever bytes come in, the logger stays answerable and its log sound") {
    std::mt19937 random(20260504);
    Desk desk;
    desk.arm(1);
    for (int round = 0; round < 2000; ++round) {
        std::vector<uint8_t> bytes(random() % 40);
        for (uint8_t& b : bytes)
            b = static_cast<uint8_t>(random());
        if (random() % 2 == 0 && bytes.size() > 2) {
            // A frame that is whole, of any type and length.
            std::vector<uint8_t> frame(wire::max_frame);
            const uint8_t length = static_cast<uint8_t>(random() % 20);
            for (uint8_t i = 0; i < length; ++i)
                wire::frame_payload(frame.data())[i] = static_cast<uint8_t>(random());
            frame.resize(wire::finish_frame(frame.data(), static_cast<MessageType>(random() % 12),
                                            7, length));
            bytes.insert(bytes.end(), frame.begin(), frame.end());
        }
        desk.life.receive(bytes);
        if (round % 10 == 0) desk.life.pass(1);
    }
    desk.life.receive({0x00});
    desk.life.heard();
    desk.life.ask(MessageType::live, wire::LiveRequest{0, 0});
    desk.life.heard();
    CHECK(desk.life.ask(MessageType::hello, wire::Hello{1, 0}, 200).back().sequence == 200);
    for (uint32_t s = desk.status().tail_sequence; s != desk.status().next_sequence; ++s)
        CHECK(wire::is_valid_record(desk.board.flash.slot(s)));
}
