// The folder beside a report, with what does not go into it.
#pragma once

#include "base/result.h"
#include "evidence/manifest.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// An error (refused) when writing these files would destroy one of the `inputs`, or what no report
/// of this name has put there.
std::optional<Error> would_destroy_beside(const std::string& report,
                                          const std::vector<Attachment>& beside,
                                          const std::vector<std::string>& inputs);

/// Into the folder, which is made where there is none; nothing where there is nothing to write.
Result<Done> write_beside(const std::string& report, const std::vector<Attachment>& beside);

} // namespace quaycell
