#include "cli/temporary_folder.h"

#include <cerrno>
#include <cstdlib>
#include <system_error>

namespace quaycell {

Result<TemporaryFolder> TemporaryFolder::make() {
    std::error_code failure;
    const auto place = std::filesystem::temp_directory_path(failure);
    std::string name = (place / "quaycell-XXXXXX").string();
    if (!failure && ::mkdtemp(name.data()) == nullptr)
        failure = std::error_code(errno, std::generic_category());
    if (failure)
        return Error{ErrorCode::failed, "cannot make a folder for a while: " + failure.message(),
                     name, "Name one that may be written to in the environment variable TMPDIR."};
    return TemporaryFolder(std::filesystem::path(name));
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored; // what cannot be removed does no harm there
    if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
}

} // namespace quaycell
