// The bytes of a file that goes with a report.
#pragma once

#include "base/result.h"

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

namespace quaycell {

/// At hand, or in a file where they are too many for that. Never changed, so that copies share
/// them and their digest is made once.
class FileBytes {
  public:
    FileBytes() : FileBytes(std::string()) {}
    FileBytes(std::string bytes);
    FileBytes(const char* text) : FileBytes(std::string(text)) {}

    /// Those of a file that stays as it is, as long as `owner` does, and whose digest was made as
    /// it was written.
    FileBytes(std::filesystem::path file, std::uint64_t size, std::string sha256,
              std::shared_ptr<const void> owner);

    /// Those of a file, which is gone through once to make their digest. Error: it cannot be read.
    static Result<FileBytes> in(const std::filesystem::path& file);

    std::uint64_t size() const { return size_; }
    const std::string& sha256() const { return sha256_; }

    /// Where they are; empty where they are at hand.
    const std::filesystem::path& file() const { return file_; }

    /// Those at hand; none where they are in a file.
    const std::string& at_hand() const { return *at_hand_; }

    /// Calls `take` with some of them after another. Error: the file cannot be read.
    Result<Done> each(const std::function<void(std::string_view)>& take) const;

    /// All of them. Error: the file cannot be read.
    Result<std::shared_ptr<const std::string>> whole() const;

  private:
    std::uint64_t size_;
    std::string sha256_;
    std::filesystem::path file_;
    std::shared_ptr<const void> owner_; ///< of the file
    std::shared_ptr<const std::string> at_hand_;
};

/// Reads them from the first to the last, as many at a time as are asked for.
class BytesReader {
  public:
    explicit BytesReader(FileBytes bytes) : bytes_(std::move(bytes)) {}

    /// The next `count`; fewer at the end only, then none. They stay until the next call. Error:
    /// the file cannot be read.
    Result<std::string_view> next(std::size_t count);

  private:
    FileBytes bytes_;
    std::ifstream file_; ///< where they are not at hand
    std::string read_;   ///< out of it
    std::size_t at_ = 0; ///< of what is at hand
};

} // namespace quaycell
