#include "archive/archive.h"

#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <csignal>
#include <doctest/doctest.h>
#include <fstream>
#include <iterator>
#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace quaycell;
using namespace quaycell::test;
namespace fs = std::filesystem;

namespace {

std::string content_of(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

void write(const fs::path& path, const std::string& content) {
    std::ofstream(path, std::ios::binary) << content;
}

/// Does something to the file behind the archive's back.
void with_sqlite(const fs::path& path, const char* sql) {
    sqlite3* connection = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &connection) == SQLITE_OK);
    REQUIRE(sqlite3_exec(connection, sql, nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(connection);
}

std::vector<SequencedRecord> some_records(std::uint32_t first, std::uint32_t count) {
    std::vector<SequencedRecord> records;
    for (std::uint32_t i = 0; i < count; ++i)
        records.push_back({first + i, reading_record(1, first + i)});
    return records;
}

void make_archive(const fs::path& path, std::uint32_t count = 10) {
    auto archive = Archive::open(path, OpenMode::write_create);
    REQUIRE(archive);
    REQUIRE(archive->add(77, some_records(0, count)));
}

Error error_of_opening(const fs::path& path, OpenMode mode) {
    const auto archive = Archive::open(path, mode);
    REQUIRE_FALSE(archive);
    return archive.error();
}

} // namespace

TEST_CASE("what another process writes after an archive was opened to read is not seen in part") {
    const TemporaryFolder folder;
    const fs::path path = folder / "a.quaycell";
    make_archive(path);
    auto reader = Archive::open(path, OpenMode::read);
    REQUIRE(reader);
    auto writer = Archive::open(path, OpenMode::write_create);
    REQUIRE(writer);
    REQUIRE(writer->add(77, some_records(10, 5)));
    REQUIRE(writer->put_note({77, from_unix_s(0), "hauled", "Ada Invented", from_unix_s(1)}));
    CHECK(reader->records(77).value().size() == 10);
    CHECK(reader->notes().value().empty());
    CHECK(Archive::open(path, OpenMode::read)->records(77).value().size() == 15);
}

TEST_CASE("a missing archive is made only when it is to be written") {
    const TemporaryFolder folder;
    const fs::path path = folder / "new.quaycell";
    CHECK(error_of_opening(path, OpenMode::read).code == ErrorCode::not_found);
    CHECK_FALSE(fs::exists(path));
    CHECK(Archive::open(path, OpenMode::write_create));
    CHECK(Archive::open(path, OpenMode::read));
}

TEST_CASE("a missing folder is named") {
    const TemporaryFolder folder;
    const Error error = error_of_opening(folder / "nowhere/new.quaycell", OpenMode::write_create);
    CHECK(error.code == ErrorCode::not_found);
    CHECK(error.where == (folder / "nowhere").string());
}

TEST_CASE("a foreign file is refused and left untouched") {
    const TemporaryFolder folder;
    const fs::path path = folder / "foreign";
    std::string what = "this file is not an archive";
    SUBCASE("text") {
        write(path, "time,potential_mv\n2026-05-04T06:00:00Z,-870\n");
    }
    SUBCASE("the beginning of a database") {
        write(path, std::string("SQLite format 3\0", 16));
    }
    SUBCASE("another program's database") {
        with_sqlite(path, "CREATE TABLE t (x)");
        what = "this is another program's database, not an archive";
    }
    const std::string before = content_of(path);
    for (const OpenMode mode : {OpenMode::read, OpenMode::write_create}) {
        const Error error = error_of_opening(path, mode);
        CHECK(exit_code(error) == 2);
        CHECK(to_text(error) ==
              path.string() + ": " + what +
                  ". It was left as it is. Name an archive that Quaycell made, or a "
                  "new file.");
    }
    CHECK(content_of(path) == before);
    CHECK(std::distance(fs::directory_iterator(folder / ""), {}) == 1);
}

TEST_CASE("a folder is no archive") {
    const TemporaryFolder folder;
    for (const OpenMode mode : {OpenMode::read, OpenMode::write_create})
        CHECK(error_of_opening(folder / "", mode).what == "this is a folder, not an archive");
}

TEST_CASE("a pipe is no archive, and nobody waits for what it might bring") {
    const TemporaryFolder folder;
    const fs::path pipe = folder / "pipe";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    for (const OpenMode mode : {OpenMode::read, OpenMode::write_create})
        CHECK(Archive::open(pipe, mode).error().code == ErrorCode::wrong_input);
}

TEST_CASE("an empty file, left by a program that was killed at once, can be collected into") {
    const TemporaryFolder folder;
    const fs::path path = folder / "empty";
    write(path, "");
    CHECK(error_of_opening(path, OpenMode::read).what == "the archive is empty");
    CHECK(Archive::open(path, OpenMode::write_create));
}

TEST_CASE("the archive of a newer program is refused and left untouched") {
    const TemporaryFolder folder;
    const fs::path path = folder / "newer";
    make_archive(path);
    with_sqlite(path, "PRAGMA user_version = 9");
    const std::string before = content_of(path);
    for (const OpenMode mode : {OpenMode::read, OpenMode::write_create}) {
        const Error error = error_of_opening(path, mode);
        CHECK(error.code == ErrorCode::wrong_version);
        CHECK(error.what == "the archive has schema 9, this program knows schemas up to 6");
        CHECK(error.remedy == "It was left as it is. Install a program that knows schema 9.");
    }
    CHECK(content_of(path) == before);
}

TEST_CASE("a name with characters that mean something in an address is just a name") {
    const TemporaryFolder folder;
    const fs::path path = folder / "tern?mode=memory#1 100%.quaycell";
    make_archive(path);
    CHECK(fs::exists(path));
    CHECK(Archive::open(path, OpenMode::read)->records(77)->size() == 10);
}

TEST_CASE("reading and writing do not hold each other up") {
    const TemporaryFolder folder;
    const fs::path path = folder / "shared";
    auto writer = Archive::open(path, OpenMode::write_create);
    REQUIRE(writer);
    auto reader = Archive::open(path, OpenMode::read);
    REQUIRE(reader);
    sqlite3* slow_reader = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &slow_reader) == SQLITE_OK);
    REQUIRE(sqlite3_exec(slow_reader, "BEGIN; SELECT * FROM block", nullptr, nullptr, nullptr) ==
            SQLITE_OK);
    CHECK(writer->add(77, some_records(0, 10)));
    CHECK(reader->records(77)->empty());
    CHECK(Archive::open(path, OpenMode::read)->records(77)->size() == 10);
    sqlite3_close(slow_reader);
}

TEST_CASE("whoever finds another program writing is told so") {
    const TemporaryFolder folder;
    const fs::path path = folder / "busy";
    make_archive(path);
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
    const Error error = error_of_opening(path, OpenMode::write_create);
    CHECK(error.code == ErrorCode::in_use);
    CHECK(error.what == "another program is writing to the archive");
    CHECK(Archive::open(path, OpenMode::read)->records(77)->size() == 10);
    sqlite3_close(other);
    CHECK(Archive::open(path, OpenMode::write_create));
}

TEST_CASE("reading leaves the archive as it was") {
    const TemporaryFolder folder;
    const fs::path path = folder / "read";
    make_archive(path);
    const std::string before = content_of(path);
    {
        auto archive = Archive::open(path, OpenMode::read);
        REQUIRE(archive);
        CHECK(archive->records(77)->size() == 10);
        CHECK(archive->add(77, some_records(10, 10)).error().code == ErrorCode::no_permission);
    }
    CHECK(content_of(path) == before);
    CHECK(std::distance(fs::directory_iterator(folder / ""), {}) == 1);
}

TEST_CASE("an archive in a folder that cannot be written is read all the same") {
    if (geteuid() != 0) return; // root sets the scene and then is nobody
    const TemporaryFolder folder;
    const fs::path path = folder / "sealed";
    make_archive(path);
    REQUIRE(chmod(path.c_str(), 0444) == 0);
    REQUIRE(chmod((folder / "").c_str(), 0555) == 0);
    constexpr uid_t nobody = 65534;
    REQUIRE(seteuid(nobody) == 0);
    auto archive = Archive::open(path, OpenMode::read);
    const auto records = archive ? archive->records(77) : archive.error();
    const auto refused = Archive::open(path, OpenMode::write_create);
    REQUIRE(seteuid(0) == 0);
    REQUIRE(records);
    CHECK(records->size() == 10);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == ErrorCode::no_permission);
}

TEST_CASE("a program that is killed keeps what it had added and nothing half") {
    const TemporaryFolder folder;
    const fs::path path = folder / "killed";
    make_archive(path, 0);
    const pid_t program = fork();
    if (program == 0) {
        auto archive = Archive::open(path, OpenMode::write_create);
        for (std::uint32_t block = 0; archive && block < 3; ++block) {
            if (!archive->add(77, some_records(block * 100, 100))) break;
        }
        kill(getpid(), SIGKILL); // with the journal beside the file and nothing tidied up
    }
    waitpid(program, nullptr, 0);
    auto archive = Archive::open(path, OpenMode::write_create);
    REQUIRE(archive);
    CHECK(archive->records(77)->size() == 300);
    CHECK(archive->missing(77, 0, 400).value() == std::vector{SequenceRange{300, 100}});
}
