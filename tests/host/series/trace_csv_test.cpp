#include "series/trace_csv.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <doctest/doctest.h>
#include <random>

using namespace quaycell;

namespace {

Instant at(const char* text) {
    return parse_instant(text).value();
}

Error complaint(std::string_view text) {
    const auto trace = read_trace_csv(text, "week.csv");
    REQUIRE_FALSE(trace);
    CHECK(exit_code(trace.error()) == 2);
    return trace.error();
}

/// Equal, with a missing value equal to a missing value.
bool same(const std::vector<double>& a, const std::vector<double>& b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (a[i] != b[i] && !(std::isnan(a[i]) && std::isnan(b[i]))) return false;
    return true;
}

} // namespace

TEST_CASE("the two required columns make a trace") {
    const auto trace = read_trace_csv("time,potential_mv\r\n"
                                      "2026-05-04T06:00:00Z,-870\r\n"
                                      "2026-05-04T08:00:10+02:00,-871.5\r\n",
                                      "week.csv");
    REQUIRE(trace);
    CHECK(trace->name == "week.csv");
    CHECK_FALSE(trace->cell_scale);
    CHECK(trace->time == std::vector{at("2026-05-04T06:00:00Z"), at("2026-05-04T06:00:10Z")});
    CHECK(trace->potential_mv == std::vector{-870.0, -871.5});
    CHECK(trace->temperature_c.empty());
    CHECK(trace->quality.empty());
}

TEST_CASE("columns come in any order, and an empty field is missing, never 0") {
    const auto trace =
        read_trace_csv("temperature_c,potential_mv,standard_mv,quality,time,cell_scale\n"
                       ",-870,-861,,2026-05-04T06:00:00Z,agcl/open\n"
                       "12.5,,,unsettled low-battery,2026-05-04T06:00:10Z,agcl/open\n",
                       "week.csv");
    REQUIRE(trace);
    CHECK(trace->cell_scale == Scale::agcl_open);
    CHECK(std::isnan(trace->temperature_c[0]));
    CHECK(trace->temperature_c[1] == 12.5);
    CHECK(std::isnan(trace->potential_mv[1]));
    CHECK(trace->quality == std::vector{Quality::good, Quality::unsettled | Quality::low_battery});
}

TEST_CASE("what is written is read back the same") {
    Trace trace;
    trace.name = "week.csv";
    trace.cell_scale = Scale::sce;
    trace.time = {at("2026-05-04T06:00:00Z"), at("2026-05-04T06:00:10.250Z"),
                  at("2026-05-04T06:00:20Z")};
    trace.potential_mv = {-870.125, missing_value, -0.001};
    trace.cell_b_mv = {-869.5, -871, 12};
    trace.ac_mv = {0, 1.5, missing_value};
    trace.temperature_c = {14.25, missing_value, 14.5};
    trace.salinity_psu = {28.1, 28.2, 28.3};
    trace.source_ohm = {12000, 12000, 1e7};
    trace.battery_mv = {4100, 4099, 4098};
    trace.quality = {Quality::good, Quality::converter_fault | Quality::clock_doubtful,
                     Quality::uncalibrated};
    const std::string text = write_trace_csv(trace, std::vector{-850.125, missing_value, 0.0});
    const auto read = read_trace_csv(text, "week.csv");
    REQUIRE(read);
    CHECK(read->name == trace.name);
    CHECK(read->cell_scale == trace.cell_scale);
    CHECK(read->time == trace.time);
    CHECK(same(read->potential_mv, trace.potential_mv));
    CHECK(same(read->cell_b_mv, trace.cell_b_mv));
    CHECK(same(read->ac_mv, trace.ac_mv));
    CHECK(same(read->temperature_c, trace.temperature_c));
    CHECK(same(read->salinity_psu, trace.salinity_psu));
    CHECK(same(read->source_ohm, trace.source_ohm));
    CHECK(same(read->battery_mv, trace.battery_mv));
    CHECK(read->quality == trace.quality);
    CHECK(write_trace_csv(*read, std::vector{-850.125, missing_value, 0.0}) == text);
}

TEST_CASE("the file is plain: CRLF, numbers without needless zeros, no column that is not there") {
    Trace trace;
    trace.cell_scale = Scale::agcl_open;
    trace.time = {at("2026-05-04T06:00:00Z"), at("2026-05-04T06:00:10Z")};
    trace.potential_mv = {-870.0004, missing_value};
    CHECK(write_trace_csv(trace, {}) == "time,potential_mv,cell_scale\r\n"
                                        "2026-05-04T06:00:00Z,-870,agcl/open\r\n"
                                        "2026-05-04T06:00:10Z,,agcl/open\r\n");
    trace.cell_scale.reset();
    trace.potential_mv = {-0.0001, 100};
    CHECK(write_trace_csv(trace, std::vector{1.0, missing_value}) ==
          "time,potential_mv,standard_mv\r\n"
          "2026-05-04T06:00:00Z,0,1\r\n"
          "2026-05-04T06:00:10Z,100,\r\n");
}

TEST_CASE("a number is rounded to the thousandth as the C library rounds it, halves too") {
    std::mt19937_64 chance(5);
    Trace trace;
    std::vector<double>& mv = trace.potential_mv;
    mv = {0, -0.0, -0.0004, 0.0005, -0.0005, 0.0625, 0.9995, -1032.8125, 99999.9995, 4999.9996};
    for (int i = 0; i < 20'000; ++i) {
        const auto thousandths =
            static_cast<double>(static_cast<std::int64_t>(chance() % 8'000'000));
        mv.push_back(i % 2 == 0 ? (thousandths - 4e6) / 1600 : (thousandths + 0.5) / 1000);
    }
    for (std::size_t i = 0; i < mv.size(); ++i)
        trace.time.push_back(at("2026-05-04T06:00:00Z") + std::chrono::seconds{i});
    const std::string text = write_trace_csv(trace, {});
    std::size_t place = text.find('\n') + 1;
    for (const double each_mv : mv) {
        std::array<char, 64> digits{};
        std::snprintf(digits.data(), digits.size(), "%.3f", each_mv);
        std::string expected = digits.data();
        expected.erase(expected.find_last_not_of('0') + 1);
        if (expected.back() == '.') expected.pop_back();
        if (expected == "-0") expected = "0";
        const std::size_t comma = text.find(',', place), end = text.find('\r', place);
        REQUIRE(text.substr(comma + 1, end - comma - 1) == expected);
        place = end + 2;
    }
}

TEST_CASE("a broken field is refused with file, line and column") {
    const Error error = complaint("time,potential_mv\n2026-05-04T06:00:00Z,-870\n"
                                  "2026-05-04T06:00:10Z,\"-870,5\"\n");
    CHECK(to_text(error) ==
          "week.csv:3:22: potential_mv \"-870,5\" is not a number. Write it with a "
          "decimal point, or leave the field empty.");
    for (const char* number : {"abc", "-870mV", "1e", "nan", "inf", " 1", "0x10", "--1", "1e999"}) {
        CAPTURE(number);
        CHECK(complaint("time,potential_mv\n2026-05-04T06:00:00Z," + std::string(number)).where ==
              "week.csv:2:22");
    }
}

TEST_CASE("a number that cannot be meant is refused") {
    CHECK(complaint("time,potential_mv\n2026-05-04T06:00:00Z,-870000").what ==
          "potential_mv \"-870000\" is not between -5000 and 5000");
    complaint("time,potential_mv,salinity_psu\n2026-05-04T06:00:00Z,-870,-1");
}

TEST_CASE("a field that could spoil the terminal is shown tamed and short") {
    const Error error =
        complaint("time,potential_mv\n2026-05-04T06:00:00Z,\x1b[2J" + std::string(1000, 'x'));
    CHECK(error.what.find('\x1b') == std::string::npos);
    CHECK(error.what.size() < 100);
}

TEST_CASE("times must carry an offset and rise") {
    CHECK(complaint("time,potential_mv\n2026-05-04T06:00:00,-870").where == "week.csv:2:1");
    CHECK(complaint("time,potential_mv\n,-870").where == "week.csv:2:1");
    const Error falling = complaint("time,potential_mv\n2026-05-04T06:00:10Z,-870\n"
                                    "2026-05-04T06:00:00Z,-870\n");
    CHECK(falling.where == "week.csv:3:1");
    CHECK(falling.what == "time 2026-05-04T06:00:00Z is earlier than the reading before it");
    const Error twice = complaint("time,potential_mv\n2026-05-04T06:00:10Z,-870\n"
                                  "2026-05-04T08:00:10+02:00,-870\n");
    CHECK(twice.what == "time 2026-05-04T06:00:10Z is the same as that of the reading before it");
}

TEST_CASE("an unknown, repeated or missing column is refused by name") {
    const Error unknown = complaint("time,potential_mv,depth_m\n");
    CHECK(unknown.where == "week.csv:1:19");
    CHECK(unknown.what == "unknown column \"depth_m\"");
    CHECK(unknown.remedy.find("cell_b_mv") != std::string::npos);
    CHECK(complaint("time,potential_mv,time\n").where == "week.csv:1:19");
    CHECK(complaint("time,temperature_c\n").where == "week.csv:1:1");
    CHECK(complaint("2026-05-04T06:00:00Z,-870\n").where == "week.csv:1:1");
    CHECK(complaint("").what == "the header is missing or incomplete");
}

TEST_CASE("a row with a field too few or too many is refused") {
    CHECK(complaint("time,potential_mv\n2026-05-04T06:00:00Z\n").what ==
          "1 field, but the header names 2 columns");
    CHECK(complaint("time,potential_mv\n2026-05-04T06:00:00Z,-870,5\n").where == "week.csv:2:27");
}

TEST_CASE("one scale goes through the whole file") {
    const Error mixed =
        complaint("time,potential_mv,cell_scale\n2026-05-04T06:00:00Z,-870,agcl/open\n"
                  "2026-05-04T06:00:10Z,-870,sce\n");
    CHECK(mixed.where == "week.csv:3:27");
    CHECK(mixed.what == "cell_scale sce after agcl/open");
    CHECK(complaint("time,potential_mv,cell_scale\n2026-05-04T06:00:00Z,-870,copper\n").where ==
          "week.csv:2:27");
}

TEST_CASE("an unknown quality word is refused and the known ones are named") {
    const Error error = complaint("time,potential_mv,quality\n2026-05-04T06:00:00Z,-870,odd\n");
    CHECK(error.where == "week.csv:2:27");
    CHECK(error.remedy.find("uncalibrated, saturated") != std::string::npos);
}

TEST_CASE("several deployments stay apart in a file") {
    Trace trace;
    for (int hour = 0; hour < 4; ++hour)
        trace.time.push_back(at("2026-05-04T06:00:00Z") + std::chrono::hours(hour));
    trace.potential_mv = {-870, -871, -900, -901};
    trace.joints = {{1, "deployment 2 (logger 0000a1b2)"}, {3, "deployment 3 (=HYPERLINK, \"x\")"}};
    const std::string text = write_trace_csv(trace, {});
    CHECK(text == "time,potential_mv,deployment\r\n"
                  "2026-05-04T06:00:00Z,-870,\r\n"
                  "2026-05-04T07:00:00Z,-871,deployment 2 (logger 0000a1b2)\r\n"
                  "2026-05-04T08:00:00Z,-900,\r\n"
                  "2026-05-04T09:00:00Z,-901,deployment 3 (_HYPERLINK_ _x_)\r\n");
    const auto back = read_trace_csv(text, "week.csv");
    REQUIRE(back);
    REQUIRE(back->joints.size() == 2);
    CHECK(back->joints[0].first == 1);
    CHECK(back->joints[0].what == "deployment 2 (logger 0000a1b2)");
    CHECK(back->joints[1].first == 3);
    CHECK(write_trace_csv(*back, {}) == text);
}

TEST_CASE("a deployment may be named in every row, and is one all the same") {
    const auto trace = read_trace_csv("deployment,time,potential_mv\n"
                                      "spring,2026-05-04T06:00:00Z,-870\n"
                                      "spring,2026-05-04T07:00:00Z,-870\n"
                                      "summer,2026-07-04T06:00:00Z,-870\n",
                                      "week.csv");
    REQUIRE(trace);
    REQUIRE(trace->joints.size() == 1);
    CHECK(trace->joints[0].first == 2);
    CHECK(trace->joints[0].what == "summer");
}

TEST_CASE("what could be more than words names no deployment") {
    for (const std::string& words :
         std::vector<std::string>{"=1+1", "-2", "a\tb", "a;b", std::string(81, 'a')}) {
        const Error error = complaint("time,potential_mv,deployment\n"
                                      "2026-05-04T06:00:00Z,-870," +
                                      words + "\n");
        CHECK(error.where == "week.csv:2:27");
    }
}

TEST_CASE("a damaged file is refused at a place or read whole, and never anything between") {
    const std::string good = "time,potential_mv,quality,temperature_c\r\n"
                             "2026-05-04T06:00:00Z,-870,\"unsettled\",12.5\r\n"
                             "2026-05-04T06:00:10Z,-871,,\r\n";
    constexpr std::string_view damage = "\",\r\n0-:Z\xff ";
    for (std::size_t at = 0; at < good.size(); ++at) {
        for (const char c : damage) {
            std::string text = good;
            text[at] = c;
            CAPTURE(text);
            const auto trace = read_trace_csv(text, "week.csv");
            if (!trace) {
                CHECK(trace.error().where.starts_with("week.csv:"));
                CHECK_FALSE(trace.error().remedy.empty());
                continue;
            }
            CHECK(trace->potential_mv.size() == trace->time.size());
            CHECK(trace->temperature_c.size() == trace->time.size());
            CHECK(trace->quality.size() == trace->time.size());
        }
        const auto cut = read_trace_csv(good.substr(0, at), "week.csv");
        if (cut) CHECK(cut->potential_mv.size() == cut->time.size());
    }
}

TEST_CASE("potentials in volts are refused at the first of them, a few small ones are not") {
    const std::string header = "time,potential_mv\n";
    const Error error = complaint(header + "2026-05-04T06:00:00Z,\n2026-05-04T06:00:10Z,0\n"
                                           "2026-05-04T06:00:20Z,-0.64\n"
                                           "2026-05-04T06:00:30Z,-0.65\n");
    CHECK(to_text(error) == "week.csv:4:22: all potentials lie within 2 mV of 0: they seem to be "
                            "volts. Write them in mV: -870 for -0.87 V.");
    CHECK(read_trace_csv(header + "2026-05-04T06:00:00Z,-0.64\n2026-05-04T06:00:10Z,-640\n", "x"));
    CHECK(read_trace_csv(header + "2026-05-04T06:00:00Z,0\n", "x"));
}

TEST_CASE("semicolons between the fields are named") {
    CHECK(complaint("time;potential_mv\n2026-05-04T06:00:00Z;-870\n").what ==
          "semicolons separate the fields");
}

TEST_CASE("a header without readings is an empty trace") {
    const auto trace = read_trace_csv("time,potential_mv\r\n", "week.csv");
    REQUIRE(trace);
    CHECK(trace->time.empty());
}
