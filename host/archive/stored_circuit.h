// A circuit as an archive holds it, of any protocol version so far.
#pragma once

#include "archive/sqlite.h"
#include "wire/messages.h"

#include <optional>

namespace quaycell {

/// Nothing when the bytes are none. What an earlier version did not tell is 0.
std::optional<wire::Circuit> stored_circuit(const sqlite::Blob& bytes);

} // namespace quaycell
