#include "cli/temporary_folder.h"

#include <cerrno>
#include <cstdlib>
#include <cstring>

namespace quaycell {

Result<TemporaryFolder> TemporaryFolder::make() {
    std::error_code failure;
    const auto place = std::filesystem::temp_directory_path(failure);
    std::string name = (place / "quaycell-XXXXXX").string();
    if (failure || ::mkdtemp(name.data()) == nullptr)
        return Error{ErrorCode::failed,
                     std::string("cannot make a folder for a while: ") + std::strerror(errno), name,
                     "Name one that may be written to in the environment variable TMPDIR."};
    return TemporaryFolder(std::filesystem::path(name));
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored; // what cannot be removed does no harm there
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
}

} // namespace quaycell
