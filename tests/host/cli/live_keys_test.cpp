#include "cli/live_keys.h"

#include <doctest/doctest.h>

using namespace quaycell;
using What = LiveKey::What;
using Keys = std::vector<LiveKey>;

TEST_CASE("keys are wishes, in small letters and in capitals") {
    LiveKeys keys;
    CHECK(keys.take("pUwQ") == Keys{{What::plugged}, {What::unplugged}, {What::why}, {What::end}});
    CHECK(keys.take("x ") == Keys{{What::other}, {What::other}});
    CHECK(keys.take("").empty());
}

TEST_CASE("a note is typed after n, and its letters are no wishes") {
    LiveKeys keys;
    CHECK(keys.take("n") == Keys{{What::begin_note}});
    CHECK(keys.typed() == "");
    CHECK(keys.take("pump").empty());
    CHECK(keys.typed() == "pump");
    CHECK(keys.take(" on\r") == Keys{{What::note, "pump on"}});
    CHECK_FALSE(keys.typed());
    CHECK(keys.take("q") == Keys{{What::end}});
}

TEST_CASE("the last letter is taken back whole, and Escape leaves the note") {
    LiveKeys keys;
    keys.take("na\xC3\xA4");
    keys.take("\x7f");
    CHECK(keys.typed() == "a");
    keys.take("\b\b\b");
    CHECK(keys.typed() == "");
    CHECK(keys.take("\r").empty()); // nothing to note
    CHECK_FALSE(keys.typed());
    keys.take("nabc");
    CHECK(keys.take("\x1b") == Keys{{What::other}});
    CHECK_FALSE(keys.typed());
}

TEST_CASE("arrows and function keys type nothing, and do not leave the note") {
    LiveKeys keys;
    keys.take("nab");
    CHECK(keys.take("\x1b[A\x1b[1;5C\x1bOP").empty());
    CHECK(keys.typed() == "ab");
    CHECK(keys.take("c\t\x01\r") == Keys{{What::note, "abc"}});
    CHECK(keys.take("\x1b[Bp") == Keys{{What::other}, {What::plugged}});
}

TEST_CASE("a note has an end, however much is typed or pasted") {
    LiveKeys keys;
    keys.take("n" + std::string(5000, 'x'));
    CHECK(keys.typed()->size() == 500);
}
