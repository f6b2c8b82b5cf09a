#include "dossier/file_taker.h"

#include "../judging/a_folder.h"

#include <doctest/doctest.h>
#include <optional>

using namespace quaycell;
using test::AFolder;
namespace fs = std::filesystem;

namespace {

constexpr std::size_t room = 10;

void take(FileTaker& taker, std::string_view text) {
    taker.take({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()});
}

} // namespace

TEST_CASE("few bytes are at hand, and no file is made for them") {
    const AFolder folder("file_taker_test-");
    FileTaker taker(folder.at("tern.pdf.part"), room);
    take(taker, "0123456");
    take(taker, "789");
    CHECK_FALSE(fs::exists(folder.at("tern.pdf.part")));
    const auto bytes = taker.bytes();
    REQUIRE(bytes);
    CHECK(bytes->at_hand() == "0123456789");
    CHECK(bytes->file().empty());
}

TEST_CASE("many bytes wait in a file, which is gone with the last who knows of it") {
    const AFolder folder("file_taker_test-");
    const std::string part = folder.at("tern.pdf.part");
    {
        std::optional<FileTaker> taker(std::in_place, part, room);
        take(*taker, "0123456");
        take(*taker, "78901");
        take(*taker, "234");
        const auto bytes = taker->bytes();
        taker.reset();
        REQUIRE(bytes);
        CHECK(bytes->file() == part);
        CHECK(bytes->size() == 15);
        CHECK(bytes->sha256() == FileBytes("012345678901234").sha256());
        CHECK(**bytes->whole() == "012345678901234");
        const FileBytes copy = *bytes;
        CHECK(fs::exists(copy.file()));
    }
    CHECK_FALSE(fs::exists(part));
}

TEST_CASE("a file that is begun and not asked for is gone, too") {
    const AFolder folder("file_taker_test-");
    const std::string part = folder.at("tern.pdf.part");
    {
        FileTaker taker(part, room);
        take(taker, std::string(10'000'000, 'x'));
        CHECK(fs::exists(part)); // what is taken aside lags behind by 2 MB at most
    }
    CHECK_FALSE(fs::exists(part));
}

TEST_CASE("where bytes cannot be written it is told at the end") {
    FileTaker nowhere("/nowhere/tern.pdf.part", room);
    take(nowhere, "0123456789012");
    take(nowhere, "3");
    const auto bytes = nowhere.bytes();
    REQUIRE_FALSE(bytes);
    CHECK(bytes.error().where == "/nowhere/tern.pdf.part");
    CHECK(bytes.error().what.find("No such file") != std::string::npos);
}

TEST_CASE("a full disk is told") {
    const AFolder folder("file_taker_test-");
    fs::create_symlink("/dev/full", folder.at("full"));
    FileTaker full(folder.at("full"), room);
    take(full, std::string(100'000, 'x'));
    const auto bytes = full.bytes();
    REQUIRE_FALSE(bytes);
    CHECK(bytes.error().what.find("No space left") != std::string::npos);
}

TEST_CASE("where only the digest is asked for, it is that of all bytes") {
    FileTaker taker({}, room);
    take(taker, "0123456");
    take(taker, "78901234");
    CHECK(taker.sha256() == FileBytes("012345678901234").sha256());
}
