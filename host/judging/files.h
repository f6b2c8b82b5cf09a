// Whole files in and out.
#pragma once

#include "base/result.h"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// "cannot read: ..." with what to do about it; `reason` is the system's errno. not_found,
/// no_permission or failed.
Error file_error(const char* what, const std::filesystem::path& path, int reason);

/// The file's bytes; those of standard input where the path is "-". Missing, unreadable, a
/// directory and what is no file at all (a pipe might never end) are told apart.
Result<std::string> read_file(const std::filesystem::path& path);

/// A file that a command line names. Standard input can be read only once, and a file may change,
/// so that bytes that were read are kept.
struct GivenFile {
    std::string path;                 ///< what errors name; empty: none is given
    std::optional<std::string> bytes; ///< once they are at hand

    bool is_given() const { return !path.empty(); }
    /// Those at hand; else what read_file() reads.
    Result<std::string> read() const;
};

/// An error (refused) when writing `output` would destroy one of the `inputs`, or any archive.
std::optional<Error> would_destroy(const std::filesystem::path& output,
                                   const std::vector<std::string>& inputs);

/// A folder where there is none; its parent has to be there.
Result<Done> make_folder(const std::filesystem::path& path);

/// So is a file called until it is whole: beside `path`, and this program's own. `which`: of
/// several.
std::filesystem::path part_of(const std::filesystem::path& path, const std::string& which = "");

/// What stays of `file` under that name when the program is killed.
struct LeftPart {
    std::filesystem::path path;
    std::string file; ///< without its folder
};
/// Those in a folder whose programs run no more.
std::vector<LeftPart> left_parts(const std::filesystem::path& folder);

/// Gives a file that is whole its name, in place of one that may be there.
Result<Done> move_into_place(const std::filesystem::path& part, const std::filesystem::path& path);

/// Writes beside the target and moves it into place, so that a half-written file never has the
/// name.
Result<Done> write_file(const std::filesystem::path& path, std::string_view bytes);

} // namespace quaycell
