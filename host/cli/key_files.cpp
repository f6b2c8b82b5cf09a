#include "cli/key_files.h"

#include "cli/files.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace quaycell {

namespace {

constexpr mode_t owner_only = S_IRUSR | S_IWUSR;
constexpr mode_t for_all = owner_only | S_IRGRP | S_IROTH;

Error cannot_write(const std::filesystem::path& path, int reason) {
    return {ErrorCode::failed, std::string("cannot write: ") + std::strerror(reason), path.string(),
            ""};
}

/// With these permissions from the first moment on.
Result<Done> write_new(const std::filesystem::path& path, std::string_view bytes, mode_t mode) {
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    if (file < 0 && errno == EEXIST)
        return Error{ErrorCode::refused, "there is a file of this name, and a key must not be lost",
                     path.string(), "Give another name."};
    if (file < 0) return cannot_write(path, errno);
    errno = ENOSPC; // what a short write means
    const bool written =
        ::write(file, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()) &&
        ::fsync(file) == 0;
    const int reason = errno;
    if (::close(file) == 0 && written) return Done{};
    ::unlink(path.c_str()); // half a key is none, and would bar its name
    return cannot_write(path, reason);
}

} // namespace

Result<PublicKey> make_key_files(const std::filesystem::path& path) {
    const SecretKey key = new_secret_key();
    const PublicKey public_key = public_key_of(key);
    if (const auto done = write_new(path.string() + ".pub", to_pem(public_key), for_all); !done)
        return done.error();
    if (const auto done = write_new(path, to_pem(key), owner_only); !done) {
        std::error_code ignored;
        std::filesystem::remove(path.string() + ".pub", ignored);
        return done.error();
    }
    return public_key;
}

Result<SecretKey> read_secret_key(const std::filesystem::path& path) {
    const auto pem = read_file(path);
    if (!pem) return pem.error();
    struct stat status {};
    if (::stat(path.c_str(), &status) == 0 && (status.st_mode & (S_IRWXG | S_IRWXO)) != 0)
        return Error{ErrorCode::refused, "others on this computer may read this secret key",
                     path.string(), "Run: chmod 600 " + path.string()};
    return parse_secret_key(*pem, path.string());
}

Result<PublicKey> read_public_key(const std::filesystem::path& path) {
    const auto pem = read_file(path);
    if (!pem) return pem.error();
    return parse_public_key(*pem, path.string());
}

} // namespace quaycell
