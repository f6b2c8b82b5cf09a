#include "archive/file_check.h"

#include <array>
#include <fstream>
#include <string_view>

namespace quaycell {

namespace {

// The SQLite file format, section 1.3: the header begins with this text and its zero, and holds the
// application id at offset 68, big-endian (read, sqlite.org/fileformat2.html).
constexpr std::string_view sqlite_mark{"SQLite format 3\0", 16};
constexpr std::size_t application_id_at = 68;
constexpr std::size_t header_bytes = application_id_at + 4;

Error foreign(const std::filesystem::path& path, const char* what) {
    return {ErrorCode::wrong_input, what, path.string(),
            "It was left as it is. Name an archive that Quaycell made, or a new file."};
}

} // namespace

Result<FileKind> check_archive_file(const std::filesystem::path& path) {
    namespace fs = std::filesystem;
    std::error_code failure;
    const fs::file_status status = fs::status(path, failure);
    if (status.type() == fs::file_type::not_found) {
        const fs::path folder = path.has_parent_path() ? path.parent_path() : fs::path(".");
        if (fs::is_directory(folder, failure)) return FileKind::missing;
        return Error{ErrorCode::not_found, "there is no such folder", folder.string(),
                     "Create it or name another file."};
    }
    if (fs::is_directory(status)) return foreign(path, "this is a folder, not an archive");
    if (fs::exists(status) && !fs::is_regular_file(status))
        return foreign(path, "this is a pipe or a device, not an archive");
    std::ifstream file(path, std::ios::binary);
    if (!file)
        return Error{ErrorCode::no_permission, "the archive cannot be read", path.string(),
                     "Check who owns the file and its folder."};
    std::array<char, header_bytes> header{};
    file.read(header.data(), header.size());
    if (file.gcount() == 0) return FileKind::empty;
    if (file.gcount() < static_cast<std::streamsize>(header.size()) ||
        !std::string_view(header.data(), header.size()).starts_with(sqlite_mark))
        return foreign(path, "this file is not an archive");
    std::uint32_t application_id = 0;
    for (std::size_t i = application_id_at; i < header_bytes; ++i)
        application_id = application_id << 8 | static_cast<std::uint8_t>(header[i]);
    if (application_id != archive_application_id)
        return foreign(path, "this is another program's database, not an archive");
    return FileKind::archive;
}

} // namespace quaycell
