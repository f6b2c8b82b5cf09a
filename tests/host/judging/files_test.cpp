#include "judging/files.h"

#include <cerrno>
#include <doctest/doctest.h>
#include <filesystem>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace quaycell;
namespace fs = std::filesystem;

namespace {

struct Folder {
    fs::path path = fs::temp_directory_path() / ("files_test-" + std::to_string(::getpid()));
    Folder() { fs::create_directories(path); }
    ~Folder() { fs::remove_all(path); }
};

} // namespace

TEST_CASE("what is written is read back, and nothing else is left in the folder") {
    const Folder folder;
    const std::string bytes("\0\r\nQuay", 7);
    REQUIRE(write_file(folder.path / "a", "old"));
    REQUIRE(write_file(folder.path / "a", bytes));
    CHECK(read_file(folder.path / "a").value() == bytes);
    CHECK(std::distance(fs::directory_iterator(folder.path), {}) == 1);
}

TEST_CASE("a missing file, a folder and a missing folder are told apart") {
    const Folder folder;
    CHECK(read_file(folder.path / "none").error().code == ErrorCode::not_found);
    CHECK(read_file(folder.path).error().code == ErrorCode::failed);
    CHECK(write_file(folder.path, "x").error().code == ErrorCode::failed);
    CHECK(write_file(folder.path / "none" / "a", "x").error().code == ErrorCode::not_found);
}

TEST_CASE("a pipe that nobody writes to is refused as input, not waited for") {
    const Folder folder;
    const fs::path pipe = folder.path / "pipe";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    for (const fs::path& input : {pipe, fs::path("/dev/null")}) {
        const auto refused = read_file(input);
        REQUIRE_FALSE(refused);
        CHECK(refused.error().code == ErrorCode::wrong_input);
        CHECK(refused.error().where == input.string());
        CHECK_FALSE(refused.error().remedy.empty());
    }
}

TEST_CASE("a link is followed, a pipe stays a pipe, a file keeps who may read it") {
    const Folder folder;
    const fs::path file = folder.path / "file", link = folder.path / "link";
    REQUIRE(write_file(file, "old"));
    fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write);
    fs::create_symlink(file, link);
    REQUIRE(write_file(link, "new"));
    CHECK(fs::is_symlink(link));
    CHECK(read_file(file).value() == "new");
    CHECK(fs::status(file).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
    REQUIRE(write_file("/dev/null", "x"));
    CHECK(fs::is_character_file("/dev/null"));
    CHECK_FALSE(write_file("/dev/full", "x"));
    CHECK(fs::is_character_file("/dev/full"));
}

TEST_CASE("what the system gives as the reason is told with what to do about it") {
    const Error full = file_error("write", "a.pdf", ENOSPC);
    CHECK(full.code == ErrorCode::failed);
    CHECK(full.what.find("cannot write: ") == 0);
    CHECK(full.where == "a.pdf");
    CHECK(full.remedy.find("Make room") == 0);
    CHECK(file_error("read", "a.pdf", ENOTDIR).code == ErrorCode::not_found);
    const Error forbidden = file_error("read", "a.pdf", EACCES);
    CHECK(forbidden.code == ErrorCode::no_permission);
    CHECK_FALSE(forbidden.remedy.empty());
    CHECK(file_error("read", "a.pdf", EIO).remedy.empty());
}

TEST_CASE("what a killed program left of a file is told from what another one writes") {
    const Folder folder;
    const pid_t child = ::fork();
    if (child == 0) ::_exit(0);
    REQUIRE(::waitpid(child, nullptr, 0) == child);
    const std::string gone = std::to_string(child), running = std::to_string(::getppid());
    for (const std::string& name :
         {"b.pdf.part-" + running, std::string("b.pdf"), "b.pdf.part-" + gone + "x",
          std::string("b.pdf.part-"), std::string("b.pdf.part--1"), "a.part-1.part-" + gone + "-2"})
        REQUIRE(write_file(folder.path / name, "x"));
    REQUIRE(write_file(part_of(folder.path / "b.pdf"), "x"));
    const auto left = left_parts(folder.path);
    REQUIRE(left.size() == 1);
    CHECK(left[0].path == folder.path / ("a.part-1.part-" + gone + "-2"));
    CHECK(left[0].file == "a.part-1");
    CHECK(left_parts(folder.path / "none").empty());
}
