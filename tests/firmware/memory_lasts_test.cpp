// The tables that tell how long a memory lasts, against the log itself.
#include "log_steps.h"

#include <cmath>
#include <fstream>
#include <sstream>

using namespace quaycell;
using namespace quaycell::test;

namespace {

/// Hours while they are few, days with one digit behind the point below ten, else whole days.
std::string in_words(double hours) {
    std::ostringstream text;
    text.precision(1);
    text << std::fixed;
    if (hours < 48) {
        text << std::lround(hours) << " h";
    } else if (hours < 240) {
        text << hours / 24 << " d";
    } else {
        text << std::lround(hours / 24) << " d";
    }
    return text.str();
}

/// A reading per interval, and a Check record every hour.
std::string table_row(uint16_t megabytes) {
    MemoryFlash flash(static_cast<uint16_t>(megabytes * 256));
    Log log = mounted(flash);
    CHECK(arm(log, wire::FullPolicy::stop_when_full));
    std::ostringstream row;
    row << "| " << megabytes << " MB |";
    for (const double interval_s : {1.0, 10.0, 60.0})
        row << " " << in_words(log.free_slots() / (3600 / interval_s + 1)) << " |";
    return row.str();
}

} // namespace

TEST_CASE("the memory lasts as long as the documents say") {
    std::ifstream file(QUAYCELL_SOURCE "/firmware/flashlog/DESIGN.md");
    const std::string text(std::istreambuf_iterator<char>(file), {});
    for (const uint16_t megabytes : std::initializer_list<uint16_t>{2, 4, 8, 16}) {
        const std::string row = table_row(megabytes);
        CAPTURE(row);
        CHECK(text.find(row) != std::string::npos);
    }
}
