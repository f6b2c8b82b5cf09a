#include "cli/live_notes.h"

#include "archive/file_check.h"
#include "chart/text.h"
#include "judging/author.h"
#include "judging/note_text.h"

#include <fmt/format.h>

namespace quaycell {

Result<LiveNotes> LiveNotes::begin(const std::string& archive, const std::string& author) {
    LiveNotes notes(archive, author);
    if (archive.empty()) return notes;
    const auto kind = check_archive_file(archive);
    if (!kind) return kind.error();
    if (*kind != FileKind::archive) return notes;
    if (const auto opened = notes.open(); !opened) return opened.error();
    return notes;
}

Result<Done> LiveNotes::open() {
    auto opened = Archive::open(path_, OpenMode::write_create);
    if (!opened) return opened.error();
    archive_.emplace(std::move(opened).value());
    return Done{};
}

std::string LiveNotes::keep(std::uint32_t device, Instant at, const std::string& text) {
    const Note note{device, at, clean_text(text), author_, written_now()};
    if (path_.empty()) {
        unkept_.push_back(note);
        return fmt::format("noted, in no archive: {}", note.text);
    }
    const bool is_new = !archive_;
    Result<Done> put = is_new ? open() : Done{};
    if (put) put = archive_->put_note(note);
    if (put)
        return fmt::format("kept in {}{}: {}", path_, is_new ? ", a new archive" : "", note.text);
    unkept_.push_back(note);
    return "NOT KEPT: " + to_text(put.error());
}

std::string LiveNotes::lost() const {
    std::string text;
    for (const Note& note : unkept_)
        text += fmt::format("note, kept in no archive: {}\n", note_text(note));
    return text;
}

} // namespace quaycell
