// Notes, for a person and for a program.
#pragma once

#include "archive/archive.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// "2026-05-04T09:30:00Z  shore power unplugged  (Ann, written 2026-05-05T08:00:00Z)"
std::string note_text(const Note& note);

boost::json::array notes_json(const std::vector<Note>& notes);

} // namespace quaycell
