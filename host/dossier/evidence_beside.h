// The folder beside a report, with what does not go into it.
#pragma once

#include "base/result.h"
#include "evidence/manifest.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// Removes what runs that were killed have left of a report of that name, beside it and in its
/// folder; what was removed.
std::vector<std::filesystem::path> clear_left_parts(const std::string& report);

/// An error (refused) when writing these files would destroy one of the `inputs`, or what no report
/// of this name has put there.
std::optional<Error> would_destroy_beside(const std::string& report,
                                          const std::vector<Attachment>& beside,
                                          const std::vector<std::string>& inputs);

/// An error (refused) when a report of that name, or a file in its folder, is there and says
/// something else: it may be signed, and there may be no other copy. The same bytes may be written
/// again.
std::optional<Error> would_replace(const std::string& report, std::string_view bytes,
                                   const std::vector<Attachment>& beside);

/// Into the folder, which is made where there is none; nothing where there is nothing to write.
/// What waits in a file of its own is moved there.
Result<Done> write_beside(const std::string& report, const std::vector<Attachment>& beside);

} // namespace quaycell
