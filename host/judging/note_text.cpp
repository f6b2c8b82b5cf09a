#include "judging/note_text.h"

#include "judging/device_name.h"

#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

std::string note_text(const Note& note) {
    return fmt::format("{}  {}  ({}, written {})", to_text(note.at), note.text, note.author,
                       to_text(note.written_at));
}

boost::json::array notes_json(const std::vector<Note>& notes) {
    boost::json::array list;
    for (const Note& note : notes)
        list.push_back(
            {{"time", to_text(note.at)},
             {"words", note.text},
             {"author", note.author},
             {"written_at", to_text(note.written_at)},
             {"device", note.device == 0 ? boost::json::value(nullptr)
                                         : boost::json::value(device_name(note.device))}});
    return list;
}

} // namespace quaycell
