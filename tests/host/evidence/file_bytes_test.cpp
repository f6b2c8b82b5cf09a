#include "evidence/file_bytes.h"

#include <doctest/doctest.h>
#include <fstream>
#include <unistd.h>

using namespace quaycell;
namespace fs = std::filesystem;

namespace {

/// More than is read at once, and no two pieces alike.
const std::string many = [] {
    std::string bytes(3'000'001, '\0');
    for (std::size_t i = 0; i < bytes.size(); ++i)
        bytes[i] = static_cast<char>(i % 251);
    return bytes;
}();

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

TEST_CASE("bytes are read some at a time, the same at hand and in a file") {
    const AFile file;
    for (const FileBytes& bytes : {FileBytes(many), FileBytes::in(file.path).value()}) {
        BytesReader reader(bytes);
        CHECK(reader.next(0)->empty());
        std::string all(*reader.next(7));
        CHECK(all.size() == 7);
        all += *reader.next(2'999'993);
        CHECK(all.size() == 3'000'000);
        all += *reader.next(100);
        CHECK(all == many);
        CHECK(reader.next(100)->empty());
    }
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
    CHECK_FALSE(BytesReader(gone).next(1));
    CHECK_FALSE(FileBytes::in(fs::temp_directory_path()));
}
