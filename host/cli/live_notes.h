// Notes that are typed while a logger is read live.
#pragma once

#include "archive/archive.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

class LiveNotes {
  public:
    /// `archive`: where they are kept, begun where it is not there, as by `collect`; empty:
    /// nowhere, and they are told in the end.
    static Result<LiveNotes> begin(const std::string& archive, const std::string& author);

    /// It is on the disk when this returns. What to tell whoever wrote it, an error included.
    std::string keep(std::uint32_t device, Instant at, const std::string& text);

    /// Those that are kept nowhere, one a line.
    std::string lost() const;

  private:
    LiveNotes(std::optional<Archive> archive, std::string path, std::string author)
        : archive_(std::move(archive)), path_(std::move(path)), author_(std::move(author)) {}

    std::optional<Archive> archive_;
    std::string path_;
    std::string author_;
    std::vector<Note> unkept_;
};

} // namespace quaycell
