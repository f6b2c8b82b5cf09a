// A folder of a test's own, gone at its end.
#pragma once

#include <filesystem>
#include <string>
#include <unistd.h>

namespace quaycell::test {

class AFolder {
  public:
    explicit AFolder(const char* test)
        : path_(std::filesystem::temp_directory_path() / (test + std::to_string(::getpid()))) {
        std::filesystem::create_directories(path_);
    }
    AFolder(const AFolder&) = delete;
    AFolder& operator=(const AFolder&) = delete;
    ~AFolder() { std::filesystem::remove_all(path_); }

    std::string at(const char* name) const { return (path_ / name).string(); }

  private:
    std::filesystem::path path_;
};

} // namespace quaycell::test
