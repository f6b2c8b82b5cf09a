#include "dossier/key_files.h"

#include "judging/files.h"

#include <cerrno>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

namespace quaycell {

namespace {

constexpr mode_t owner_only = S_IRUSR | S_IWUSR;
constexpr mode_t for_all = owner_only | S_IRGRP | S_IROTH;

/// A key of Ed25519 in PEM has 119 bytes; people may write lines before it.
constexpr std::size_t longest_key_file = 16384;

/// Closed at the end, but for standard input. No stream: its buffer would keep the secret.
class OpenFile {
  public:
    explicit OpenFile(int number) : number_(number) {}
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() {
        if (number_ > STDIN_FILENO) ::close(number_);
    }
    int number() const { return number_; }

  private:
    int number_;
};

/// With these permissions from the first moment on.
Result<Done> write_new(const std::filesystem::path& path, std::string_view bytes, mode_t mode) {
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    if (file < 0 && errno == EEXIST)
        return Error{ErrorCode::refused, "there is a file of this name, and a key must not be lost",
                     path.string(), "Give another name."};
    if (file < 0) return file_error("write", path, errno);
    errno = ENOSPC; // what a short write means
    const bool written =
        ::write(file, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()) &&
        ::fsync(file) == 0;
    const int reason = errno;
    if (::close(file) == 0 && written) return Done{};
    ::unlink(path.c_str()); // half a key is none, and would bar its name
    return file_error("write", path, reason);
}

} // namespace

Result<PublicKey> make_key_files(const std::filesystem::path& path) {
    const SecretKey key = new_secret_key();
    const PublicKey public_key = public_key_of(key);
    if (const auto done = write_new(path.string() + ".pub", to_pem(public_key), for_all); !done)
        return done.error();
    std::string pem = to_pem(key);
    const auto done = write_new(path, pem, owner_only);
    wipe(pem);
    if (!done) {
        std::error_code ignored;
        std::filesystem::remove(path.string() + ".pub", ignored);
        return done.error();
    }
    return public_key;
}

Result<SecretKey> read_secret_key(const std::filesystem::path& path) {
    const bool from_input = path == "-";
    const OpenFile file(from_input ? STDIN_FILENO
                                   : ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    struct stat status {};
    if (file.number() < 0 || ::fstat(file.number(), &status) != 0)
        return file_error("read", path, errno);
    if (!from_input && !S_ISREG(status.st_mode))
        return Error{ErrorCode::wrong_input, "this is no file", path.string(),
                     "Name a file, or give - for it and send the key to standard input."};
    std::string pem(longest_key_file, '\0');
    std::size_t length = 0;
    for (ssize_t got = 1; got != 0 && length < pem.size();) {
        got = ::read(file.number(), pem.data() + length, pem.size() - length);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) return file_error("read", path, errno);
        length += static_cast<std::size_t>(got);
    }
    auto key = parse_secret_key(std::string_view(pem).substr(0, length), path.string());
    wipe(pem);
    if (key && !from_input && (status.st_mode & (S_IRWXG | S_IRWXO)) != 0)
        return Error{ErrorCode::refused, "others on this computer may read this secret key",
                     path.string(), "Run: chmod 600 " + path.string()};
    return key;
}

Result<PublicKey> read_public_key(const std::filesystem::path& path) {
    const auto pem = read_file(path);
    if (!pem) return pem.error();
    return parse_public_key(*pem, path.string());
}

} // namespace quaycell
