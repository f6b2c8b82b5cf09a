#include "cli/files.h"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <sstream>
#include <unistd.h>

namespace quaycell {

namespace {

Error cannot(const char* what, const std::filesystem::path& path, int reason) {
    return {reason == ENOENT ? ErrorCode::not_found : ErrorCode::failed,
            std::string("cannot ") + what + ": " + std::strerror(reason), path.string(),
            reason == ENOENT ? "Check the name and the folder." : ""};
}

} // namespace

Result<std::string> read_file(const std::filesystem::path& path) {
    std::error_code failure;
    if (std::filesystem::is_directory(path, failure)) return cannot("read", path, EISDIR);
    std::ifstream file(path, std::ios::binary);
    if (!file) return cannot("read", path, errno);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    if (file.bad()) return cannot("read", path, errno);
    return std::move(bytes).str();
}

std::optional<Error> would_destroy(const std::filesystem::path& output,
                                   const std::vector<std::string>& inputs) {
    std::error_code none;
    const auto refusal = [&](const char* what) {
        return Error{ErrorCode::refused, what, output.string(), "Write to another file"};
    };
    for (const std::string& input : inputs)
        if (!input.empty() && std::filesystem::equivalent(output, input, none))
            return refusal("this file is read by the same command and would be lost");
    constexpr std::string_view archive_magic = "SQLite format 3";
    std::string start(archive_magic.size(), '\0');
    std::ifstream existing(output, std::ios::binary);
    existing.read(start.data(), static_cast<std::streamsize>(start.size()));
    if (existing && start == archive_magic)
        return refusal("this file is an archive and would be lost");
    return std::nullopt;
}

Result<Done> write_file(const std::filesystem::path& path, std::string_view bytes) {
    std::error_code failure;
    if (std::filesystem::is_directory(path, failure)) return cannot("write", path, EISDIR);
    const std::filesystem::path beside = path.string() + ".part-" + std::to_string(::getpid());
    {
        std::ofstream file(beside, std::ios::binary | std::ios::trunc);
        if (!file) return cannot("write", path, errno);
        file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        file.close();
        if (file.fail()) {
            const int reason = errno;
            std::filesystem::remove(beside, failure);
            return cannot("write", path, reason);
        }
    }
    std::filesystem::rename(beside, path, failure);
    if (!failure) return Done{};
    const int reason = failure.value();
    std::filesystem::remove(beside, failure);
    return cannot("write", path, reason);
}

} // namespace quaycell
