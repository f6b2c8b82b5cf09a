#include "dossier/file_taker.h"

#include "judging/files.h"

#include <cerrno>
#include <cstring>
#include <fmt/format.h>

namespace quaycell {

namespace {

class OwnFile {
  public:
    explicit OwnFile(std::filesystem::path path) : path_(std::move(path)) {}
    OwnFile(const OwnFile&) = delete;
    OwnFile& operator=(const OwnFile&) = delete;
    ~OwnFile() {
        std::error_code none_there; // it was moved to where it belongs
        std::filesystem::remove(path_, none_there);
    }

  private:
    std::filesystem::path path_;
};

/// Pieces of some hundred kB, and what was at hand.
constexpr std::size_t most_waiting = 4;

} // namespace

FileTaker::FileTaker(std::filesystem::path part, std::size_t most_at_hand)
    : part_(std::move(part)), most_at_hand_(most_at_hand),
      writing_([this](const std::string& piece) { write(piece); }, most_waiting),
      keeping_([this](std::string& piece) { keep(piece); }) {}

void FileTaker::keep(std::string& piece) {
    sum_.add(piece);
    size_ += piece.size();
    if (part_.empty()) return;
    if (!owner_ && size_ <= most_at_hand_) {
        at_hand_ += piece;
        return;
    }
    if (!owner_) {
        owner_ = std::make_shared<const OwnFile>(part_);
        errno = 0;
        file_.open(part_, std::ios::binary | std::ios::trunc);
        note_failure();
        writing_.give(std::exchange(at_hand_, {}));
    }
    piece = writing_.give(std::move(piece));
}

void FileTaker::write(const std::string& piece) {
    if (failure_ != 0) return;
    errno = 0;
    file_.write(piece.data(), static_cast<std::streamsize>(piece.size()));
    note_failure();
}

void FileTaker::finish() {
    keeping_.finish();
    writing_.finish();
}

void FileTaker::note_failure() {
    if (failure_ == 0 && !file_) failure_ = errno == 0 ? EIO : errno;
}

std::string FileTaker::sha256() {
    finish();
    return sum_.hex();
}

Result<FileBytes> FileTaker::bytes() {
    finish();
    if (!owner_) return FileBytes(std::move(at_hand_));
    errno = 0;
    file_.close();
    note_failure();
    if (failure_ != 0)
        return Error{ErrorCode::failed, std::string("cannot write: ") + std::strerror(failure_),
                     part_.string(), "Make room, or let --output name another place."};
    return FileBytes(part_, size_, sum_.hex(), owner_);
}

MakeFileTaker file_takers(const std::filesystem::path& output) {
    return [output, count = std::make_shared<int>(0)] {
        if (output.empty()) return std::make_shared<FileTaker>();
        return std::make_shared<FileTaker>(part_of(output, fmt::format("-{}", ++*count)));
    };
}

} // namespace quaycell
