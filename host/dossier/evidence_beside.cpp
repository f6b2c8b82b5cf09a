#include "dossier/evidence_beside.h"

#include "dossier/report_files.h"
#include "evidence/companions.h"
#include "evidence/sha256.h"
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

/// The first in the folder that no report puts there. A link leads to what is somebody's; a folder
/// that cannot be looked into may hold anything.
std::optional<fs::path> strange_in(const fs::path& folder) {
    std::error_code failure, of_entry;
    for (fs::directory_iterator entry(folder, failure), end; !failure && entry != end;
         entry.increment(failure))
        if (entry->is_symlink(of_entry) || !entry->is_regular_file(of_entry) ||
            !is_name_of_report(entry->path().filename().string()))
            return entry->path();
    return failure ? std::optional(folder) : std::nullopt;
}

/// Whether a file is there that holds anything else.
bool holds_other(const fs::path& file, const std::string& sha256) {
    std::error_code failure;
    if (!fs::exists(fs::symlink_status(file, failure))) return false;
    const auto held = FileBytes::in(file);
    return !held || held->sha256() != sha256;
}

} // namespace

std::vector<fs::path> clear_left_parts(const std::string& report) {
    const fs::path path = report;
    std::vector<fs::path> cleared;
    std::error_code failure; // what cannot be removed stays, and stands in nobody's way
    const auto clear = [&](const LeftPart& part) {
        if (fs::remove(part.path, failure)) cleared.push_back(part.path);
    };
    for (const LeftPart& part : left_parts(path.has_parent_path() ? path.parent_path() : "."))
        if (part.file == path.filename()) clear(part);
    const fs::path folder = evidence_folder(report);
    if (fs::is_symlink(fs::symlink_status(folder, failure))) return cleared; // not the report's own
    for (const LeftPart& part : left_parts(folder))
        if (is_name_of_report(part.file)) clear(part);
    return cleared;
}

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
        return refusal(
            "the evidence has to stand in this folder, and this in it is of no report, or "
            "cannot be looked at",
            *strange);
    if (fs::is_empty(folder, none) || fs::exists(report, none) || holds_list(folder))
        return std::nullopt;
    return refusal("the evidence has to stand in this folder, and its files are of no report that "
                   "is here",
                   folder);
}

std::optional<Error> would_replace(const std::string& report, std::string_view bytes,
                                   const std::vector<Attachment>& beside) {
    const auto complaint = [](std::string what, const fs::path& where) {
        return Error{ErrorCode::refused, std::move(what), where.string(),
                     "Write the report under another name; or say --replace, and what was there "
                     "is lost, with any signature of it."};
    };
    if (holds_other(report, sha256_hex(bytes)))
        return complaint("there is a file of this name, and it says something else", report);
    if (beside.empty()) return std::nullopt;
    const fs::path folder = evidence_folder(report);
    for (const Attachment& each : beside)
        if (holds_other(folder / each.name, each.bytes.sha256()))
            return complaint("this file of another report is there, and holds something else",
                             folder / each.name);
    std::error_code failure;
    if (named(beside, signature_name) == nullptr && fs::exists(folder / signature_name, failure))
        return complaint("the report that is there was signed, and this one is not",
                         folder / signature_name);
    return std::nullopt;
}

Result<Done> write_beside(const std::string& report, const std::vector<Attachment>& beside) {
    if (beside.empty()) return Done{};
    const fs::path folder = evidence_folder(report);
    if (const auto made = make_folder(folder); !made) return made;
    std::error_code failure; // a signature of an earlier list, which this one would seem to bear
    fs::remove(folder / signature_name, failure);
    if (failure)
        return Error{ErrorCode::failed,
                     "the signature of an earlier report cannot be removed: " + failure.message(),
                     (folder / signature_name).string(), remedy};
    for (const Attachment& each : beside) {
        const fs::path file = folder / each.name;
        const auto written = each.bytes.file().empty() ? write_file(file, each.bytes.at_hand())
                                                       : move_into_place(each.bytes.file(), file);
        if (!written) return written;
    }
    return Done{};
}

} // namespace quaycell
