#include "cli/live_format.h"

#include "judging/made_live.h"
#include "series/trace_csv.h"

#include <boost/json.hpp>

using namespace quaycell;
using namespace quaycell::testing;

TEST_CASE("every format has its name, and another name is refused with all of them") {
    for (const char* name : {"words", "csv", "json", "nmea0183", "signalk"})
        CHECK(live_format_named(name));
    const auto wrong = live_format_named("xml");
    REQUIRE_FALSE(wrong);
    CHECK(wrong.error().code == ErrorCode::wrong_usage);
    CHECK(wrong.error().remedy.find("nmea0183") != std::string::npos);
}

TEST_CASE("CSV lines after their header are a trace as import and judge read it") {
    MadeLive live;
    std::string csv;
    for (const double potential_mv : {-1000.0, -1001.0, -1002.5}) {
        const LiveView view = live.take({.potential_mv = potential_mv, .ac_mv = 12});
        if (csv.empty()) csv = live_greeting(LiveFormat::csv, view);
        csv += live_text(LiveFormat::csv, view, false);
    }
    const auto trace = read_trace_csv(csv, "live.csv");
    REQUIRE(trace);
    CHECK(trace->potential_mv == std::vector{-1000.0, -1001.0, -1002.5});
    CHECK(trace->cell_scale == Scale::agcl_open);
    CHECK(trace->time.front() == MadeLive::at(101));
    CHECK(std::isnan(trace->temperature_c.front()));
    CHECK(trace->quality.front() == Quality::good);
}

TEST_CASE("words are one line, which names the logger where there are several") {
    MadeLive live;
    const LiveView view = live.take({.potential_mv = -1000, .ac_mv = 12});
    CHECK(live_greeting(LiveFormat::words, view).empty());
    const std::string line = live_text(LiveFormat::words, view, false);
    CHECK(line.starts_with("2026-05-28T20:28:21Z   -1000.0 mV on agcl/open"));
    CHECK(line.find("protected, reading not settled  water") != std::string::npos);
    CHECK(line.ends_with("AC 12 mV\n"));
    CHECK(live_text(LiveFormat::words, view, true) == "00000077  " + line);
}

TEST_CASE("JSON is one document a line") {
    MadeLive live;
    const std::string line = live_text(LiveFormat::json, live.take({}), false);
    CHECK(line.find('\n') == line.size() - 1);
    CHECK(boost::json::parse(line).at("device").as_string() == "00000077");
}

TEST_CASE("loggers are told apart where the form names them") {
    CHECK(tells_loggers_apart(LiveFormat::words));
    CHECK(tells_loggers_apart(LiveFormat::json));
    CHECK(tells_loggers_apart(LiveFormat::signalk));
    CHECK_FALSE(tells_loggers_apart(LiveFormat::csv));
    CHECK_FALSE(tells_loggers_apart(LiveFormat::nmea0183));
}
