#include "evidence/file_bytes.h"

#include <doctest/doctest.h>
#include <fstream>
#include <unistd.h>

using namespace quaycell;
namespace fs = std::filesystem;

namespace {

/// More than is read at once.
const std::string many(3'000'001, 'a');

struct AFile {
    fs::path path = fs::temp_directory_path() / ("file_bytes_test-" + std::to_string(::getpid()));
    AFile() { std::ofstream(path, std::ios::binary) << many; }
    AFile(const AFile&) = delete;
    AFile& operator=(const AFile&) = delete;
    ~AFile() { fs::remove(path); }
};

std::string piece_by_piece(const FileBytes& bytes) {
    std::string all;
    REQUIRE(bytes.each([&](std::string_view some) { all += some; }));
    return all;
}

} // namespace

TEST_CASE("bytes are the same at hand and in a file, and have one digest") {
    const AFile file;
    const FileBytes at_hand = many;
    const auto in_file = FileBytes::in(file.path);
    REQUIRE(in_file);
    CHECK(at_hand.size() == many.size());
    CHECK(in_file->size() == many.size());
    CHECK(in_file->sha256() == at_hand.sha256());
    CHECK(in_file->at_hand().empty());
    CHECK(piece_by_piece(*in_file) == many);
    CHECK(piece_by_piece(at_hand) == many);
    CHECK(**in_file->whole() == many);
    CHECK(**at_hand.whole() == many);
}

TEST_CASE("no bytes have the digest of no bytes: FIPS 180-4 (from memory)") {
    CHECK(FileBytes().sha256() ==
          "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST_CASE("a file that cannot be read is named") {
    const auto none = FileBytes::in("/nowhere/records-1.bin");
    REQUIRE_FALSE(none);
    CHECK(none.error().where == "/nowhere/records-1.bin");
    const FileBytes gone("/nowhere/records-1.bin", 1, "", nullptr);
    CHECK_FALSE(gone.whole());
    CHECK_FALSE(FileBytes::in(fs::temp_directory_path()));
}
