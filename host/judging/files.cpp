#include "judging/files.h"

#include "judging/large_pages.h"

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstring>
#include <fstream>
#include <iostream>
#include <iterator>
#include <sstream>
#include <unistd.h>

namespace quaycell {

namespace {

struct KnownReason {
    int reason;
    ErrorCode code;
    const char* remedy;
};
constexpr KnownReason known_reasons[] = {
    {ENOENT, ErrorCode::not_found, "Check the name and the folder."},
    {ENOTDIR, ErrorCode::not_found, "Check the name and the folder."},
    {EACCES, ErrorCode::no_permission, "Check who owns the file and its folder."},
    {EPERM, ErrorCode::no_permission, "Check who owns the file and its folder."},
    {EROFS, ErrorCode::no_permission, "Name a file on a medium that can be written."},
    {ENOSPC, ErrorCode::failed, "Make room on the disk, or name a file on another one."},
    {EDQUOT, ErrorCode::failed, "Make room on the disk, or name a file on another one."},
};

constexpr std::string_view part_mark = ".part-";

/// "123" or "123-1", as part_of() writes behind the mark, and nothing else: what other programs
/// call parts is theirs.
std::optional<pid_t> writer_of(std::string_view text) {
    const auto is_number = [](std::string_view digits) {
        return !digits.empty() && digits.front() != '0' &&
               digits.find_first_not_of("0123456789") == std::string_view::npos;
    };
    const std::size_t dash = text.find('-');
    const std::string_view number = text.substr(0, dash);
    pid_t writer = 0;
    const auto wrong = std::from_chars(number.data(), number.data() + number.size(), writer).ec;
    const bool is_part =
        is_number(number) && (dash == std::string_view::npos || is_number(text.substr(dash + 1)));
    return is_part && wrong == std::errc{} ? std::optional(writer) : std::nullopt;
}

bool is_running(pid_t program) {
    return ::kill(program, 0) == 0 || errno != ESRCH;
}

} // namespace

Error file_error(const char* what, const std::filesystem::path& path, int reason) {
    const auto* const known = std::ranges::find(known_reasons, reason, &KnownReason::reason);
    const bool is_known = known != std::end(known_reasons);
    return {is_known ? known->code : ErrorCode::failed,
            std::string("cannot ") + what + ": " + std::strerror(reason), path.string(),
            is_known ? known->remedy : ""};
}

Result<std::string> read_file(const std::filesystem::path& path) {
    if (path == "-") {
        std::ostringstream bytes;
        bytes << std::cin.rdbuf();
        return std::move(bytes).str();
    }
    std::error_code failure;
    const auto status = std::filesystem::status(path, failure);
    if (std::filesystem::is_directory(status)) return file_error("read", path, EISDIR);
    if (std::filesystem::exists(status) && !std::filesystem::is_regular_file(status))
        return Error{ErrorCode::wrong_input, "this is a pipe or a device, not a file",
                     path.string(),
                     "Name a file, or give - for it and send the bytes to standard input."};
    std::ifstream file(path, std::ios::binary);
    if (!file) return file_error("read", path, errno);
    const auto size = std::filesystem::file_size(path, failure);
    std::string bytes;
    if (!failure) {
        bytes.reserve(size);
        prefer_large_pages(bytes.data(), size);
        bytes.resize(size);
    }
    file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    bytes.resize(static_cast<std::size_t>(file.gcount()));
    if (file) bytes.append(std::istreambuf_iterator<char>(file), {}); // it may have grown
    if (file.bad()) return file_error("read", path, errno);
    return bytes;
}

Result<std::string> GivenFile::read() const {
    if (bytes) return *bytes;
    return read_file(path);
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
    if (!std::filesystem::is_regular_file(output, none)) return std::nullopt;
    constexpr std::string_view archive_magic = "SQLite format 3";
    std::string start(archive_magic.size(), '\0');
    std::ifstream existing(output, std::ios::binary);
    existing.read(start.data(), static_cast<std::streamsize>(start.size()));
    if (existing && start == archive_magic)
        return refusal("this file is an archive and would be lost");
    return std::nullopt;
}

Result<Done> make_folder(const std::filesystem::path& path) {
    std::error_code failure;
    std::filesystem::create_directory(path, failure);
    return failure ? file_error("make the folder", path, failure.value()) : Result<Done>(Done{});
}

std::filesystem::path part_of(const std::filesystem::path& path, const std::string& which) {
    return path.string() + std::string(part_mark) + std::to_string(::getpid()) + which;
}

std::vector<LeftPart> left_parts(const std::filesystem::path& folder) {
    std::vector<LeftPart> left;
    std::error_code failure; // a folder that is not there holds none
    for (std::filesystem::directory_iterator entry(folder, failure), end; !failure && entry != end;
         entry.increment(failure)) {
        const std::string name = entry->path().filename().string();
        const std::size_t mark = name.rfind(part_mark);
        std::error_code of_entry;
        if (mark == std::string::npos || entry->is_symlink(of_entry) ||
            !entry->is_regular_file(of_entry))
            continue;
        const auto writer = writer_of(std::string_view(name).substr(mark + part_mark.size()));
        if (writer && !is_running(*writer)) left.push_back({entry->path(), name.substr(0, mark)});
    }
    return left;
}

Result<Done> move_into_place(const std::filesystem::path& part, const std::filesystem::path& path) {
    std::error_code failure;
    const auto status = std::filesystem::status(path, failure);
    if (std::filesystem::exists(status))
        std::filesystem::permissions(part, status.permissions(), failure);
    std::filesystem::rename(part, path, failure);
    if (!failure) return Done{};
    const int reason = failure.value();
    std::filesystem::remove(part, failure);
    return file_error("write", path, reason);
}

Result<Done> write_file(const std::filesystem::path& path, std::string_view bytes) {
    std::error_code failure;
    if (std::filesystem::is_directory(path, failure)) return file_error("write", path, EISDIR);
    // A device or a pipe takes the bytes and stays what it is; a link is followed to its file.
    const auto status = std::filesystem::status(path, failure);
    if (std::filesystem::exists(status) && !std::filesystem::is_regular_file(status)) {
        std::ofstream special(path, std::ios::binary);
        special.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        special.close();
        return special ? Result<Done>(Done{}) : file_error("write", path, errno);
    }
    if (std::filesystem::is_symlink(path, failure))
        return write_file(std::filesystem::weakly_canonical(path, failure), bytes);
    const std::filesystem::path beside = part_of(path);
    {
        std::ofstream file(beside, std::ios::binary | std::ios::trunc);
        if (!file) return file_error("write", path, errno);
        file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        file.close();
        if (file.fail()) {
            const int reason = errno;
            std::filesystem::remove(beside, failure);
            return file_error("write", path, reason);
        }
    }
    return move_into_place(beside, path);
}

} // namespace quaycell
