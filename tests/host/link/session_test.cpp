#include "link/session.h"

#include "link/fake_logger.h"

#include <doctest/doctest.h>
#include <random>

using namespace quaycell;
using namespace quaycell::test;
using wire::MessageType;

namespace {

constexpr TimePoint start{};
const Timing timing{Milliseconds{1000}, 3, Milliseconds{5000}};
const Bytes two_zeros(2);

/// A session that has asked for the status; what it sends first carries sequence number 0.
Session asking_for_status() {
    Session session(timing);
    session.ask(MessageType::status, two_zeros, start, timing.attempts);
    return session;
}

Bytes status_reply(std::uint8_t sequence) {
    wire::StatusReply reply{};
    reply.next_sequence = 4711;
    return frame_of(MessageType::status_reply, sequence, reply);
}

void check_is_the_answer(Session& session) {
    const auto event = session.next_event();
    REQUIRE(event);
    CHECK(event->kind == SessionEventKind::answer);
    CHECK(event->message.as<wire::StatusReply>().next_sequence == 4711);
    CHECK_FALSE(session.next_event());
}

Bytes operator+(Bytes left, const Bytes& right) {
    left.insert(left.end(), right.begin(), right.end());
    return left;
}

} // namespace

TEST_CASE("a request goes out as one frame behind a zero that ends any noise") {
    Session session = asking_for_status();
    CHECK(session.take_output() ==
          Bytes{0} + frame_of(MessageType::status, 0, wire::StatusRequest{}));
    CHECK(session.take_output().empty());
}

TEST_CASE("an answer is recognised wherever the stream is cut") {
    const Bytes reply = status_reply(0);
    for (std::size_t cut = 0; cut <= reply.size(); ++cut) {
        CAPTURE(cut);
        Session session = asking_for_status();
        session.receive({reply.data(), cut}, start);
        if (cut < reply.size()) CHECK_FALSE(session.next_event());
        session.receive({reply.data() + cut, reply.size() - cut}, start);
        check_is_the_answer(session);
        CHECK_FALSE(session.deadline());
    }
}

TEST_CASE("noise before an answer is counted and costs nothing else") {
    std::mt19937 random(20260504);
    for (int round = 0; round < 200; ++round) {
        CAPTURE(round);
        Bytes noise(random() % 400);
        for (auto& byte : noise)
            byte = static_cast<std::uint8_t>(random() % 255 + 1);
        Session session = asking_for_status();
        session.receive(noise + Bytes{0} + status_reply(0), start);
        check_is_the_answer(session);
        CHECK(session.rejects().damaged() == (noise.empty() ? 0 : 1));
    }
}

TEST_CASE("every kind of bad frame has a counter of its own") {
    Session session(timing);
    const Bytes good = status_reply(0);

    Bytes flipped = good;
    flipped[flipped.size() - 2] ^=
        0x40; // in the checksum; none of its bytes is zero before or after
    REQUIRE(flipped[flipped.size() - 2] != 0);
    session.receive(flipped, start);
    CHECK(session.rejects().bad_checksum == 1);

    session.receive(Bytes{0x20, 0x01, 0x00}, start);
    CHECK(session.rejects().bad_stuffing == 1);

    session.receive(Bytes(600, 0x01) + Bytes{0}, start);
    CHECK(session.rejects().too_long == 1);

    session.receive(frame_of(static_cast<MessageType>(0x7E), 0, wire::StatusRequest{}), start);
    CHECK(session.rejects().unknown_type == 1);

    session.receive(frame_of(MessageType::status_reply, 0, wire::StatusRequest{}), start);
    CHECK(session.rejects().bad_length == 1);

    CHECK(session.rejects().damaged() == 5);
    CHECK(session.rejects().unmatched == 0);
}

TEST_CASE("an answer that nobody asked for, or that comes twice, is counted and not used") {
    Session session = asking_for_status();
    session.receive(status_reply(9), start);
    session.receive(frame_of(MessageType::hello_reply, 0, wire::HelloReply{}), start);
    CHECK_FALSE(session.next_event());
    CHECK(session.rejects().unmatched == 2);

    session.receive(status_reply(0) + status_reply(0), start);
    check_is_the_answer(session);
    CHECK(session.rejects().unmatched == 3);
}

TEST_CASE("an answer to the first attempt still counts after the second was sent") {
    Session session = asking_for_status();
    const Bytes first = session.take_output();
    session.advance(start + Milliseconds{1000});
    CHECK(session.take_output() == first);
    session.receive(status_reply(0), start + Milliseconds{1001});
    check_is_the_answer(session);
    session.receive(status_reply(0), start + Milliseconds{1500});
    CHECK_FALSE(session.next_event());
    CHECK(session.rejects().unmatched == 1);
}

TEST_CASE("attempts come at growing distances and then it gives up") {
    Session session = asking_for_status();
    CHECK_FALSE(session.take_output().empty());
    CHECK(*session.deadline() == start + Milliseconds{1000});
    session.advance(start + Milliseconds{999});
    CHECK(session.take_output().empty());
    session.advance(start + Milliseconds{1000});
    CHECK_FALSE(session.take_output().empty());
    CHECK(*session.deadline() == start + Milliseconds{2500});
    session.advance(start + Milliseconds{2500});
    CHECK_FALSE(session.take_output().empty());
    CHECK(*session.deadline() == start + Milliseconds{4500});
    CHECK_FALSE(session.next_event());
    session.advance(start + Milliseconds{4500});
    CHECK(session.take_output().empty());
    CHECK(session.next_event()->kind == SessionEventKind::gave_up);
    CHECK_FALSE(session.deadline());
}

TEST_CASE("nothing, noise, and frames without the answer are three different troubles") {
    Session silent = asking_for_status();
    CHECK(silent.why_no_answer().code == ErrorCode::silent);

    Session noisy = asking_for_status();
    noisy.receive(Bytes(40, 0x55), start);
    CHECK(noisy.why_no_answer().code == ErrorCode::no_frames);
    CHECK(noisy.why_no_answer().what == "40 bytes arrived but nothing that a logger says");

    Session deaf = asking_for_status();
    deaf.receive(frame_of(MessageType::live_reading, 0, wire::LiveReading{}), start);
    CHECK(deaf.why_no_answer().code == ErrorCode::silent);
    CHECK(deaf.why_no_answer().what == "the logger sends but does not answer what it was asked");
}

TEST_CASE("slots are parts of a read, and each of them puts the deadline off") {
    Session session(timing);
    session.ask(MessageType::read, Bytes(sizeof(wire::Read)), start, 1);
    session.receive(frame_of(MessageType::slot, 0, wire::Slot{}), start + Milliseconds{900});
    CHECK(session.next_event()->kind == SessionEventKind::part);
    CHECK(*session.deadline() == start + Milliseconds{1900});
    session.receive(frame_of(MessageType::read_end, 0, wire::ReadEnd{1, 0}),
                    start + Milliseconds{1000});
    CHECK(session.next_event()->kind == SessionEventKind::answer);
}

TEST_CASE("a refusal ends the request it names and no other") {
    Session session = asking_for_status();
    const auto refusal_of = [](MessageType request) {
        return frame_of(MessageType::refusal, 0,
                        wire::Refusal{static_cast<std::uint8_t>(request), 1});
    };
    session.receive(refusal_of(MessageType::arm), start);
    CHECK_FALSE(session.next_event());
    session.receive(refusal_of(MessageType::status), start);
    CHECK(session.next_event()->kind == SessionEventKind::refusal);
    CHECK_FALSE(session.deadline());
}

TEST_CASE("live readings come without being asked for") {
    Session session(timing);
    session.receive(frame_of(MessageType::live_reading, 99, wire::LiveReading{}), start);
    CHECK(session.next_event()->kind == SessionEventKind::live_reading);
    CHECK(session.rejects().unmatched == 0);
}
