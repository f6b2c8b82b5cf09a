// Notes that are typed while a logger is read live.
#pragma once

#include "archive/archive.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

class LiveNotes {
  public:
    /// `archive`: where they are kept, begun with the first of them where it is not there; empty:
    /// nowhere, and they are told in the end. Errors: those of Archive::open().
    static Result<LiveNotes> begin(const std::string& archive, const std::string& author);

    /// It is on the disk when this returns. What to tell whoever wrote it, an error included.
    std::string keep(std::uint32_t device, Instant at, const std::string& text);

    /// Those that are kept nowhere, one a line.
    std::string lost() const;

  private:
    LiveNotes(std::string path, std::string author)
        : path_(std::move(path)), author_(std::move(author)) {}

    Result<Done> open();

    std::optional<Archive> archive_; ///< none before the first note where it was not there
    std::string path_;
    std::string author_;
    std::vector<Note> unkept_;
};

} // namespace quaycell
