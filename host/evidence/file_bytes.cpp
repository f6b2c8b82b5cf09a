#include "evidence/file_bytes.h"

#include "evidence/sha256.h"

#include <cerrno>
#include <cstring>
#include <fstream>

namespace quaycell {

namespace {

constexpr std::size_t read_at_once = 1U << 20U;

Error unreadable(const std::filesystem::path& path) {
    return {ErrorCode::failed, std::string("cannot read: ") + std::strerror(errno), path.string(),
            "Check the file and its folder."};
}

Result<Done> read_through(const std::filesystem::path& path,
                          const std::function<void(std::string_view)>& take) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return unreadable(path);
    std::string some(read_at_once, '\0');
    while (file) {
        file.read(some.data(), static_cast<std::streamsize>(some.size()));
        take(std::string_view(some).substr(0, static_cast<std::size_t>(file.gcount())));
    }
    if (file.bad()) return unreadable(path);
    return Done{};
}

} // namespace

FileBytes::FileBytes(std::string bytes)
    : size_(bytes.size()), sha256_(sha256_hex(bytes)),
      at_hand_(std::make_shared<const std::string>(std::move(bytes))) {}

FileBytes::FileBytes(std::filesystem::path file, std::uint64_t size, std::string sha256,
                     std::shared_ptr<const void> owner)
    : size_(size), sha256_(std::move(sha256)), file_(std::move(file)), owner_(std::move(owner)),
      at_hand_(std::make_shared<const std::string>()) {}

Result<FileBytes> FileBytes::in(const std::filesystem::path& file) {
    Sha256 sum;
    std::uint64_t size = 0;
    const auto read = read_through(file, [&](std::string_view some) {
        sum.add(some);
        size += some.size();
    });
    if (!read) return read.error();
    return FileBytes(file, size, sum.hex(), nullptr);
}

Result<Done> FileBytes::each(const std::function<void(std::string_view)>& take) const {
    if (!file_.empty()) return read_through(file_, take);
    take(*at_hand_);
    return Done{};
}

Result<std::shared_ptr<const std::string>> FileBytes::whole() const {
    if (file_.empty()) return at_hand_;
    std::string bytes;
    bytes.reserve(size_);
    const auto read = each([&](std::string_view some) { bytes += some; });
    if (!read) return read.error();
    return std::make_shared<const std::string>(std::move(bytes));
}

Result<std::string_view> BytesReader::next(std::size_t count) {
    if (bytes_.file().empty()) {
        const std::string_view some = std::string_view(bytes_.at_hand()).substr(at_, count);
        at_ += some.size();
        return some;
    }
    if (!file_.is_open()) file_.open(bytes_.file(), std::ios::binary);
    if (!file_.is_open()) return unreadable(bytes_.file());
    read_.resize(count);
    file_.read(read_.data(), static_cast<std::streamsize>(count));
    if (file_.bad()) return unreadable(bytes_.file());
    return std::string_view(read_).substr(0, static_cast<std::size_t>(file_.gcount()));
}

} // namespace quaycell
