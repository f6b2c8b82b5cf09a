#include "cli/live_notes.h"

#include "chart/text.h"
#include "judging/author.h"
#include "judging/note_text.h"

#include <filesystem>
#include <fmt/format.h>

namespace quaycell {

Result<LiveNotes> LiveNotes::begin(const std::string& archive, const std::string& author) {
    if (archive.empty()) return LiveNotes(std::nullopt, "", author);
    const bool is_new = !std::filesystem::exists(archive);
    auto opened = Archive::open(archive, OpenMode::write_create);
    if (!opened) return opened.error();
    return LiveNotes(std::move(opened).value(), archive + (is_new ? ", a new archive" : ""),
                     author);
}

std::string LiveNotes::keep(std::uint32_t device, Instant at, const std::string& text) {
    const Note note{device, at, clean_text(text), author_, written_now()};
    if (archive_) {
        const auto put = archive_->put_note(note);
        if (put) return fmt::format("kept in {}: {}", path_, note.text);
        unkept_.push_back(note);
        return "NOT KEPT: " + to_text(put.error());
    }
    unkept_.push_back(note);
    return fmt::format("noted, in no archive: {}", note.text);
}

std::string LiveNotes::lost() const {
    std::string text;
    for (const Note& note : unkept_)
        text += fmt::format("note, kept in no archive: {}\n", note_text(note));
    return text;
}

} // namespace quaycell
