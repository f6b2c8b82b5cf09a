#include "replay/files.h"
#include "replay/recording.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace quaycell::replay;

namespace fs = std::filesystem;

TEST_CASE("recorded conversations mean today what they meant when they were looked at") {
    int recordings = 0;
    for (const auto& entry : fs::directory_iterator(QUAYCELL_RECORDINGS)) {
        if (entry.path().extension() != ".line") continue;
        ++recordings;
        CAPTURE(entry.path().filename().string());
        const std::string expected = text_of(fs::path(entry.path()).replace_extension(".events"));
        CHECK(events_of(read_recording(text_of(entry.path()))) == expected);
    }
    CHECK(recordings >= 6);
}

TEST_CASE("how the line cuts the bytes changes nothing") {
    for (const auto& entry : fs::directory_iterator(QUAYCELL_RECORDINGS)) {
        if (entry.path().extension() != ".line") continue;
        CAPTURE(entry.path().filename().string());
        const std::vector<Piece> whole = read_recording(text_of(entry.path()));
        std::vector<Piece> bytewise;
        for (const Piece& piece : whole) {
            for (const std::uint8_t byte : piece.bytes)
                bytewise.push_back({piece.from, piece.at, {byte}});
        }
        CHECK(events_of(bytewise) == events_of(whole));
    }
}

TEST_CASE("a line that is no part of a recording is named by its number") {
    CHECK(read_recording("# words\n\nhost 12 00ff\nlogger 15 8\x31\n").size() == 2);
    for (const char* wrong :
         {"# fine\nship 12 00", "# fine\nhost x 00", "# fine\nhost 12 0", "# fine\nlogger 12 0g"}) {
        CAPTURE(wrong);
        CHECK_THROWS_WITH(read_recording(wrong), "line 2 of the recording is none");
    }
}
