#include "dossier/evidence_beside.h"

#include "dossier/report_files.h"
#include "evidence/companions.h"
#include "judging/files.h"

#include <algorithm>
#include <filesystem>

namespace quaycell {

namespace {

namespace fs = std::filesystem;

constexpr const char* remedy = "Move it away, or write the report under another name.";

Error refusal(std::string what, const fs::path& where) {
    return {ErrorCode::refused, std::move(what), where.string(), remedy};
}

/// A list of files as reports have it.
bool holds_list(const fs::path& folder) {
    const auto list = read_file(folder / manifest_name);
    return list && parse_manifest(*list);
}

/// The first in the folder that no report puts there. A link leads to what is somebody's.
std::optional<fs::path> strange_in(const fs::path& folder) {
    std::error_code failure;
    for (const auto& entry : fs::directory_iterator(folder, failure))
        if (entry.is_symlink(failure) || !entry.is_regular_file(failure) ||
            !is_name_of_report(entry.path().filename().string()))
            return entry.path();
    return std::nullopt;
}

} // namespace

std::optional<Error> would_destroy_beside(const std::string& report,
                                          const std::vector<Attachment>& beside,
                                          const std::vector<std::string>& inputs) {
    if (beside.empty()) return std::nullopt;
    const fs::path folder = evidence_folder(report);
    std::error_code none;
    const auto status = fs::symlink_status(folder, none);
    if (!fs::exists(status)) return std::nullopt;
    if (!fs::is_directory(status))
        return refusal("the evidence has to stand in a folder of this name, and this is none",
                       folder);
    for (const std::string& input : inputs)
        for (const auto& entry : fs::directory_iterator(folder, none))
            if (!input.empty() && fs::equivalent(entry.path(), input, none))
                return refusal("this file is read by the same command and might be lost",
                               entry.path());
    if (const auto strange = strange_in(folder))
        return refusal("the evidence has to stand in this folder, and this file in it is of no "
                       "report",
                       *strange);
    if (fs::is_empty(folder, none) || fs::exists(report, none) || holds_list(folder))
        return std::nullopt;
    return refusal("the evidence has to stand in this folder, and its files are of no report that "
                   "is here",
                   folder);
}

Result<Done> write_beside(const std::string& report, const std::vector<Attachment>& beside) {
    if (beside.empty()) return Done{};
    const fs::path folder = evidence_folder(report);
    if (const auto made = make_folder(folder); !made) return made;
    std::error_code none_there; // a signature of an earlier list, which this one would seem to bear
    fs::remove(folder / signature_name, none_there);
    for (const Attachment& each : beside)
        if (const auto written = write_file(folder / each.name, each.bytes); !written)
            return written;
    return Done{};
}

} // namespace quaycell
