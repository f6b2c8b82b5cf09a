// The bytes of a file that is to go with a report, taken while something else reads them.
#pragma once

#include "base/bytes_taker.h"
#include "dossier/bytes_aside.h"
#include "evidence/companions.h"
#include "evidence/sha256.h"

#include <filesystem>
#include <fstream>
#include <functional>

namespace quaycell {

class FileTaker final : public BytesTaker {
  public:
    /// The bytes are kept: at hand as long as they may go into a report, then in the file `part`,
    /// which is gone with them unless it has been moved. Without `part` only their digest is made.
    explicit FileTaker(std::filesystem::path part = {},
                       std::size_t most_at_hand = most_attached_bytes);

    void take(std::span<const std::uint8_t> bytes) override { keeping_.give(bytes); }

    /// Once all were taken; then nothing more can be.
    std::string sha256();

    /// Likewise, instead. Error: they could not be written.
    Result<FileBytes> bytes();

  private:
    void keep(std::string& piece);
    void write(const std::string& piece);
    void finish();
    void note_failure();

    std::filesystem::path part_;
    std::size_t most_at_hand_;
    Sha256 sum_;
    std::uint64_t size_ = 0;
    std::string at_hand_;
    std::ofstream file_;
    std::shared_ptr<const void> owner_; ///< of the file, once there is one
    int failure_ = 0;                   ///< errno of the first that went wrong
    Aside<std::string> writing_;
    BytesAside keeping_; // last: it uses all of the above
};

using MakeFileTaker = std::function<std::shared_ptr<FileTaker>()>;

/// Whose bytes wait beside `output` where they are many; without it, only for digests.
MakeFileTaker file_takers(const std::filesystem::path& output = {});

} // namespace quaycell
