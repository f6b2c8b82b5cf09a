// A folder that is gone when it is no longer needed.
#pragma once

#include "base/result.h"

#include <filesystem>
#include <utility>

namespace quaycell {

class TemporaryFolder {
  public:
    /// In the system's place for such; nobody else may look into it.
    static Result<TemporaryFolder> make();

    TemporaryFolder(TemporaryFolder&& other) noexcept : path_(std::exchange(other.path_, {})) {}
    TemporaryFolder& operator=(TemporaryFolder&&) = delete;
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    ~TemporaryFolder();

    const std::filesystem::path& path() const { return path_; }

  private:
    explicit TemporaryFolder(std::filesystem::path path) : path_(std::move(path)) {}

    std::filesystem::path path_;
};

} // namespace quaycell
