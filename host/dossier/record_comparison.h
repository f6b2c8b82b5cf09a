// Records, one after another, against those that an archive holds of the same logger.
#pragma once

#include "base/record_bytes.h"
#include "evidence/file_bytes.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace quaycell {

/// Both may be tens of millions: those that are stated are read as those that are held come by.
class RecordComparison {
  public:
    /// `stated`: whole records, by restart and number.
    explicit RecordComparison(FileBytes stated);

    /// All that an archive holds of the logger, by restart and number, some at a time.
    void see(std::span<const std::uint8_t> held);

    /// Once all were seen: the first difference in words, empty where the archive has all that is
    /// stated and none between them. Error: what is stated cannot be read.
    Result<std::string> difference() &&;

  private:
    void compare(const std::uint8_t* held);
    void take_next();
    bool is_settled() const { return failure_ || !difference_.empty() || rest_.empty(); }

    BytesReader stated_;
    std::string_view rest_; ///< of what was read and not found yet
    bool is_begun_ = false; ///< the first was found
    std::string difference_;
    std::optional<Error> failure_;
};

} // namespace quaycell
