#include "web/survey_desk.h"

#include "judging/a_folder.h"
#include "judging/made_live.h"

#include <boost/json.hpp>
#include <doctest/doctest.h>
#include <filesystem>

using namespace quaycell;
using namespace quaycell::web;
using quaycell::test::AFolder;
using quaycell::testing::live_facts;
using quaycell::testing::MadeLive;
using quaycell::testing::MadeReading;

namespace {

/// A desk whose logger is on the line, and a survey of two points begun at it.
struct Desk {
    Desk() {
        desk.meet(hello(), live_facts());
        begun = desk.begin({{"shore", "unplugged"}, {"travel", "moved"}}).status == Status::ok;
        say("add rudder=stainless-austenitic");
        say("go main bonding");
    }

    static wire::HelloReply hello(std::uint32_t device = live_facts().device_id) {
        wire::HelloReply reply{};
        reply.device_id = device;
        return reply;
    }

    static BoatOptions steel() {
        BoatOptions boat;
        boat.hull = "steel";
        return boat;
    }

    boost::json::object stands() { return boost::json::parse(desk.state().body).as_object(); }

    Response say(const std::string& line) {
        const auto now = stands();
        const auto turn = now.find("turn");
        return desk.say(line, turn == now.end() ? "" : boost::json::serialize(turn->value()));
    }

    void hear(int count, const MadeReading& made) {
        for (int i = 0; i < count; ++i)
            desk.hear(MadeLive::reading_of(made, ticks_s++));
    }

    /// Ten readings, and a look that finds the leads closed with the last.
    void settle(double potential_mv) {
        hear(9, {potential_mv});
        hear(1, {.potential_mv = potential_mv, .source_a = MadeLive::good_cell});
    }

    std::string at() { return std::string(stands().at("at").as_string()); }

    bool cautions(std::string_view word) {
        const auto now = stands();
        for (const auto& said : now.at("talk").as_array())
            if (said.at("caution").as_bool() &&
                std::string_view(said.at("text").as_string()).find(word) != std::string::npos)
                return true;
        return false;
    }

    AFolder folder{"survey_desk"};
    std::string file = folder.at("a.quaycell");
    SurveyDesk desk{file, steel(), true};
    bool begun = false;
    std::uint32_t ticks_s = 100;
};

} // namespace

TEST_CASE("a line of a walk is text that a person can have typed") {
    for (const char* line : {"", "-870 4", "note loose nut",
                             "add Ru\xC3\xA4"
                             "er=copper-alloy",
                             "note \xE2\x9A\x93", "note \xF0\x9F\x9A\xA2"})
        CHECK(is_line(line));
    CHECK(is_line(std::string(1000, 'x')));
}

TEST_CASE("what would move a terminal, end a line or is no text is none") {
    for (const char* line : {"note a\nfinish", "note a\rb", "note \x1b[2J", "a\tb", "\x7f"})
        CHECK_FALSE(is_line(line));
    CHECK_FALSE(is_line(std::string_view("a\0b", 3)));
    CHECK_FALSE(is_line(std::string(1001, 'x')));
    // RFC 3629: a stray continuation, an overlong '/', half a surrogate, above U+10FFFF, cut short.
    for (const char* line : {"\x80", "\xC0\xAF", "\xE0\x80\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                             "\xF5\x80\x80\x80", "\xC3", "\xE2\x9A", "\xFF"})
        CHECK_FALSE(is_line(line));
}

TEST_CASE("a desk without an archive, a logger or a walk says what is missing") {
    BoatOptions boat;
    boat.hull = "steel";
    SurveyDesk without_archive("", boat, false);
    CHECK(without_archive.begin({{"shore", "plugged"}}).body.find("--archive") !=
          std::string::npos);
    SurveyDesk without_logger("never-made.quaycell", boat, true);
    CHECK(without_logger.begin({{"shore", "plugged"}}).body.find("not been heard") !=
          std::string::npos);
    CHECK(without_logger.say("-870", "0").status == Status::bad_request);
    CHECK(without_logger.state().body.find("\"walking\":false") != std::string::npos);
}

TEST_CASE("what the logger sends goes into a point only while that is read, until it has settled") {
    Desk desk;
    REQUIRE(desk.begun);
    desk.hear(20, {-900});
    CHECK(desk.at() == "main bonding");
    REQUIRE(desk.say("").status == Status::ok);
    desk.hear(9, {-870});
    CHECK(desk.stands().at("reading").at("readings").to_number<int>() == 9);
    CHECK(desk.at() == "main bonding");
    desk.settle(-870);
    CHECK(desk.stands().at("reading").is_null());
    CHECK(desk.at() == "rudder");
    const auto now = desk.stands();
    const auto& point = now.at("points").at(0);
    CHECK(point.at("done").as_bool());
    CHECK(point.at("settled").as_bool());
    CHECK_FALSE(point.at("ac_too_high").as_bool());
}

TEST_CASE("the logger is asked for a look at its leads before a reading counts, at a point alone") {
    Desk desk;
    const auto heard = [&](const MadeReading& made) {
        return desk.desk.hear(MadeLive::reading_of(made, desk.ticks_s++));
    };
    CHECK_FALSE(heard({-870}).has_value());
    desk.say("");
    for (int i = 1; i < 10; ++i)
        CHECK(heard({-870}) == false);
    CHECK_FALSE(desk.stands().at("reading").at("lies_still").as_bool());
    CHECK(heard({-870}) == true);
    CHECK(desk.stands().at("reading").at("lies_still").as_bool());
    CHECK(desk.at() == "main bonding");
    CHECK_FALSE(heard({.potential_mv = -870, .source_a = MadeLive::good_cell}).has_value());
    CHECK(desk.at() == "rudder");
}

TEST_CASE("what the filter holds of the last fitting while the clip is in the air is no reading") {
    Desk desk;
    desk.say("");
    desk.hear(10, {-870});
    desk.hear(
        1, {.potential_mv = -870, .flags = wire::flag_not_good_a, .source_a = MadeLive::open_lead});
    CHECK(desk.at() == "main bonding");
    CHECK(desk.stands().at("reading").at("readings").to_number<int>() == 0);
}

TEST_CASE("a reading that somebody insists on is kept as one that has not settled") {
    Desk desk;
    desk.say("");
    desk.hear(3, {-870});
    REQUIRE(desk.say("!").status == Status::ok);
    CHECK(desk.at() == "rudder");
    CHECK_FALSE(desk.stands().at("points").at(0).at("settled").as_bool());
}

TEST_CASE("an open lead keeps a point unread, and after two minutes that is told") {
    Desk desk;
    desk.say("");
    desk.hear(longest_watch_readings, {.flags = wire::flag_not_good_a});
    const auto now = desk.stands();
    CHECK(now.at("reading").is_null());
    CHECK(now.at("at").as_string() == "main bonding");
    const std::string_view said = now.at("talk").at(0).at("text").as_string();
    CHECK(said.find("the lead or the cell is open") != std::string_view::npos);
}

TEST_CASE(
    "too much AC ends the walk at once, names the hazard at the point, and frees the archive") {
    Desk desk;
    desk.say("");
    desk.hear(1, {.potential_mv = -870, .ac_mv = 120});
    const auto now = desk.stands();
    CHECK(now.at("over").as_bool());
    CHECK(now.at("stopped").as_string().find("120 mV rms") != std::string_view::npos);
    CHECK(now.at("points").at(0).at("ac_too_high").as_bool());
    CHECK(desk.cautions("Nobody goes into the water"));
    CHECK_FALSE(std::filesystem::exists(desk.file + "-wal"));
    CHECK(desk.say("-870").status == Status::bad_request);
}

TEST_CASE("a finished walk still tells how it stood, frees its archive, and another may begin") {
    Desk desk;
    CHECK(std::filesystem::exists(desk.file + "-wal"));
    REQUIRE(desk.say("finish").status == Status::ok);
    CHECK(desk.stands().at("over").as_bool());
    CHECK(desk.stands().at("number").to_number<int>() == 1);
    CHECK_FALSE(std::filesystem::exists(desk.file + "-wal"));
    CHECK(desk.desk.begin({{"shore", "plugged"}, {"travel", "moved"}}).status == Status::ok);
    CHECK(desk.stands().at("number").to_number<int>() == 2);
    CHECK_FALSE(desk.stands().at("over").as_bool());
}

TEST_CASE("shore power counts when somebody says that it is done, and live readings are told") {
    Desk desk;
    CHECK(desk.desk.shore()->cord == ShoreCord::unplugged);
    REQUIRE(desk.say("plug").status == Status::ok);
    CHECK(desk.cautions("Nobody in the water"));
    CHECK(desk.stands().at("asked").as_string() == "plugged, anodes connected");
    CHECK(desk.desk.shore()->cord == ShoreCord::unplugged);
    CHECK(desk.say("").status == Status::bad_request);
    REQUIRE(desk.say("done").status == Status::ok);
    CHECK(desk.stands().at("asked").is_null());
    CHECK(desk.desk.shore()->cord == ShoreCord::plugged);
}

TEST_CASE("a logger that was calibrated anew meanwhile reads on by that, and the archive knows") {
    Desk desk;
    desk.say("");
    desk.settle(-870);
    LoggerFacts anew = live_facts();
    anew.calibration->unix_s = 1'000'000'000;
    anew.calibration->a.offset_uv = 7000;
    desk.desk.meet(Desk::hello(), anew);
    desk.say("");
    desk.settle(-870);
    const auto points = desk.stands().at("points").as_array();
    const double moved_mv = points[1].at("standard_mv").to_number<double>() -
                            points[0].at("standard_mv").to_number<double>();
    CHECK(std::abs(moved_mv) == doctest::Approx(7).epsilon(0.02));
    auto archive = Archive::open(desk.file, OpenMode::read).value();
    const auto logger = archive.logger(live_facts().device_id, from_unix_s(1'900'000'000));
    REQUIRE(logger);
    CHECK(logger->calibration->a.offset_uv == 7000);
}

TEST_CASE("another logger on the line reads nothing of a survey that it was not begun with") {
    Desk desk;
    LoggerFacts other = live_facts();
    other.device_id = 0x78;
    desk.desk.meet(Desk::hello(0x78), other);
    CHECK(desk.cautions("not logger 00000078"));
    CHECK(desk.say("").status == Status::bad_request);
    CHECK(desk.stands().at("reading").is_null());
}
