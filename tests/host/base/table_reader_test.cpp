#include "base/table_reader.h"

#include <doctest/doctest.h>

using namespace quaycell;

namespace {

const TomlFile file{"own.toml", "Look at the manual"};

toml::table parsed(std::string_view text) {
    return parse_toml(text, file).value();
}

} // namespace

TEST_CASE("values are read by their key and type") {
    const toml::table table = parsed("name = \"Tern\"\nlength = 9\ndepth = [1.5, 2]\n"
                                     "day = 2026-05-01\nafloat = true\n");
    TableReader reader(table, "", file);
    CHECK(reader.needed_text("name") == "Tern");
    CHECK(reader.number("length") == 9);
    CHECK(reader.range("depth", 0, 10)->low == 1.5);
    CHECK(reader.range("depth", 0, 10)->high == 2);
    CHECK(reader.date("day") == "2026-05-01");
    CHECK(reader.flag("afloat") == true);
    CHECK_FALSE(reader.text("berth"));
    CHECK_FALSE(reader.finish());
}

TEST_CASE("when something was done is a day or a time, and a time has to say its offset") {
    const toml::table table = parsed("day = 2026-05-01\ntime = 2026-05-01T01:30:00+02:00\n"
                                     "local = 2026-05-01T01:30:00\n");
    TableReader reader(table, "[vessel]", file);
    const auto day = reader.day_or_time("day");
    REQUIRE(day);
    CHECK(to_text(day->earliest) == "2026-05-01T00:00:00Z");
    CHECK(to_text(day->latest) == "2026-05-02T00:00:00Z");
    CHECK(day->text == "2026-05-01");
    const auto time = reader.day_or_time("time");
    REQUIRE(time);
    CHECK(to_text(time->earliest) == "2026-04-30T23:30:00Z");
    CHECK(time->latest == time->earliest);
    CHECK_FALSE(reader.day_or_time("never"));
    CHECK_FALSE(reader.day_or_time("local"));
    CHECK(reader.finish()->what ==
          "[vessel] local: a day, or a time with its offset from UTC, is expected here");
}

TEST_CASE("a value that is not what it should be is told once, with table, key and line") {
    const toml::table table = parsed("\nlength = \"long\"\ndepth = inf\n");
    TableReader reader(table, "[vessel]", file);
    CHECK_FALSE(reader.number("length"));
    CHECK_FALSE(reader.number("depth"));
    CHECK(to_text(*reader.finish()) == "own.toml:2: [vessel] length: one number is expected here.");
}

TEST_CASE("a number that is not finite or outside its range is refused") {
    for (const char* text : {"x = nan", "x = -inf", "x = 11", "x = [1, 2]"}) {
        CAPTURE(text);
        const toml::table table = parsed(text);
        TableReader reader(table, "", file);
        CHECK_FALSE(reader.number("x", 0, 10));
        CHECK(reader.finish());
    }
}

TEST_CASE("an unknown key is told before a missing one, which it may be, misspelt") {
    const toml::table table = parsed("naem = \"Tern\"\n");
    TableReader reader(table, "", file);
    CHECK(reader.needed_text("name").empty());
    CHECK(to_text(*reader.finish()) == "own.toml:1: naem: no such key. The keys here are: name.");

    const toml::table empty = parsed("");
    TableReader other(empty, "", file);
    other.require("name");
    CHECK(other.finish()->what == "name: missing");
    CHECK(other.finish()->remedy == "Look at the manual");
}

TEST_CASE("a text that is no TOML is refused with line and column") {
    const auto table = parse_toml("a = 1\nb = = 2\n", file);
    REQUIRE_FALSE(table);
    CHECK(table.error().code == ErrorCode::wrong_input);
    CHECK(table.error().where.starts_with("own.toml:2:"));
}
