#include "../judging/a_folder.h"
#include "dossier/evidence_beside.h"
#include "dossier/report_files.h"
#include "judging/files.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace quaycell;
using test::AFolder;
namespace fs = std::filesystem;

namespace {

const std::vector<Attachment> files{described("vessel.toml", "hull"),
                                    {manifest_name, "", "", manifest_of({})}};

std::optional<Error> checked(const AFolder& folder, const std::vector<std::string>& inputs = {}) {
    return would_destroy_beside(folder.at("tern.html"), files, inputs);
}

void require_refused(const std::optional<Error>& error, const std::string& where) {
    REQUIRE(error);
    CHECK(error->code == ErrorCode::refused);
    CHECK(error->where == where);
    CHECK_FALSE(error->remedy.empty());
}

} // namespace

TEST_CASE("a report made anew writes over the evidence of the one before") {
    const AFolder folder("evidence_beside_test-");
    for (int time = 0; time < 2; ++time) {
        CHECK_FALSE(checked(folder));
        REQUIRE(write_beside(folder.at("tern.html"), files));
    }
    CHECK(read_file(folder.at("tern.html-evidence/vessel.toml")).value() == "hull");
}

TEST_CASE("a signature of the list before is not left beside the new one") {
    const AFolder folder("evidence_beside_test-");
    REQUIRE(write_beside(folder.at("tern.html"), files));
    REQUIRE(write_file(folder.at("tern.html-evidence/SHA256SUMS.sig"), "s"));
    REQUIRE(write_beside(folder.at("tern.html"), files));
    CHECK_FALSE(fs::exists(folder.at("tern.html-evidence/SHA256SUMS.sig")));
}

TEST_CASE("where nothing stands beside a report, no folder is made or looked at") {
    const AFolder folder("evidence_beside_test-");
    REQUIRE(write_file(folder.at("tern.html-evidence"), "mine"));
    CHECK_FALSE(would_destroy_beside(folder.at("tern.pdf"), {}, {}));
    REQUIRE(write_beside(folder.at("tern.pdf"), {}));
    CHECK(read_file(folder.at("tern.html-evidence")).value() == "mine");
    require_refused(checked(folder), folder.at("tern.html-evidence"));
}

TEST_CASE("a folder of that name with something of somebody's own is left alone") {
    const AFolder folder("evidence_beside_test-");
    REQUIRE(make_folder(folder.at("tern.html-evidence")));
    REQUIRE(write_file(folder.at("tern.html-evidence/letter.txt"), "mine"));
    require_refused(checked(folder), folder.at("tern.html-evidence/letter.txt"));
    fs::remove(folder.at("tern.html-evidence/letter.txt"));
    CHECK_FALSE(checked(folder));
    REQUIRE(write_file(folder.at("tern.html-evidence/vessel.toml"), "mine"));
    require_refused(checked(folder), folder.at("tern.html-evidence"));
    REQUIRE(write_file(folder.at("tern.html"), "a report that it belongs to"));
    CHECK_FALSE(checked(folder));
}

TEST_CASE("a report is written again when it says the same, and not over one that says otherwise") {
    const AFolder folder("evidence_beside_test-");
    const std::string page = folder.at("tern.html");
    CHECK_FALSE(would_replace(page, "page", files));
    REQUIRE(write_file(page, "page"));
    REQUIRE(write_beside(page, files));
    CHECK_FALSE(would_replace(page, "page", files));
    require_refused(would_replace(page, "another", files), page);
    // What went along with it is somebody's evidence, too, whether the page is there or not.
    REQUIRE(write_file(folder.at("tern.html-evidence/vessel.toml"), "another hull"));
    fs::remove(page);
    require_refused(would_replace(page, "page", files),
                    folder.at("tern.html-evidence/vessel.toml"));
    CHECK_FALSE(would_replace(page, "page", {}));
}

TEST_CASE("a signed report is not written over by one that is not signed") {
    const AFolder folder("evidence_beside_test-");
    const std::string page = folder.at("tern.html");
    REQUIRE(write_file(page, "page"));
    REQUIRE(write_beside(page, files));
    REQUIRE(write_file(folder.at("tern.html-evidence/SHA256SUMS.sig"), "s"));
    require_refused(would_replace(page, "page", files),
                    folder.at("tern.html-evidence/SHA256SUMS.sig"));
}

TEST_CASE("a signature that cannot be taken away is an error, and nothing is written beside it") {
    const AFolder folder("evidence_beside_test-");
    // A folder in its place that is not empty is one for everybody, root included.
    REQUIRE(make_folder(folder.at("tern.html-evidence")));
    REQUIRE(make_folder(folder.at("tern.html-evidence/SHA256SUMS.sig")));
    REQUIRE(write_file(folder.at("tern.html-evidence/SHA256SUMS.sig/mine"), "mine"));
    const auto written = write_beside(folder.at("tern.html"), files);
    REQUIRE_FALSE(written);
    CHECK(written.error().where == folder.at("tern.html-evidence/SHA256SUMS.sig"));
    CHECK_FALSE(fs::exists(folder.at("tern.html-evidence/vessel.toml")));
}

TEST_CASE("nothing is written through a link") {
    const AFolder folder("evidence_beside_test-");
    REQUIRE(make_folder(folder.at("elsewhere")));
    fs::create_symlink(folder.at("elsewhere"), folder.at("tern.html-evidence"));
    require_refused(checked(folder), folder.at("tern.html-evidence"));
    fs::remove(folder.at("tern.html-evidence"));
    REQUIRE(write_beside(folder.at("tern.html"), files));
    REQUIRE(write_file(folder.at("boat.toml"), "mine"));
    fs::remove(folder.at("tern.html-evidence/vessel.toml"));
    fs::create_symlink(folder.at("boat.toml"), folder.at("tern.html-evidence/vessel.toml"));
    require_refused(checked(folder), folder.at("tern.html-evidence/vessel.toml"));
}

TEST_CASE("what the report is made from is not written over, by whatever name it goes") {
    const AFolder folder("evidence_beside_test-");
    REQUIRE(write_beside(folder.at("tern.html"), files));
    fs::create_symlink(folder.at("tern.html-evidence/vessel.toml"), folder.at("boat.toml"));
    require_refused(checked(folder, {"", folder.at("tern.html-evidence/../boat.toml")}),
                    folder.at("tern.html-evidence/vessel.toml"));
}

TEST_CASE("what a killed run left of this report is removed, and nothing of anybody else") {
    const AFolder folder("evidence_beside_test-");
    const pid_t child = ::fork();
    if (child == 0) ::_exit(0);
    REQUIRE(::waitpid(child, nullptr, 0) == child);
    const std::string part = ".part-" + std::to_string(child);
    REQUIRE(write_beside(folder.at("tern.html"), files));
    std::vector<fs::path> left, others;
    for (const char* name : {"tern.html", "tern.html-evidence/vessel.toml"})
        left.emplace_back(folder.at(name) + part);
    for (const char* name : {"tern.pdf", "my.tern.html", "tern.html-evidence/letter"})
        others.emplace_back(folder.at(name) + part);
    for (const char* behind : {"-of-a-letter", "-01", "-1-2", ".gz"}) // other programs' names
        others.emplace_back(folder.at("tern.html") + part + behind);
    others.emplace_back(folder.at("tern.html") + ".part-0" + std::to_string(child));
    for (const auto& paths : {left, others})
        for (const fs::path& path : paths)
            REQUIRE(write_file(path, "half"));
    others.emplace_back(folder.at("tern.html") + part + "-7");
    fs::create_directory(others.back());
    CHECK(clear_left_parts(folder.at("tern.html")) == left);
    CHECK(std::ranges::none_of(left, [](const fs::path& path) { return fs::exists(path); }));
    CHECK(std::ranges::all_of(others, [](const fs::path& path) { return fs::exists(path); }));
    CHECK(clear_left_parts(folder.at("tern.html")).empty());
}

TEST_CASE("through a link nothing is removed") {
    const AFolder folder("evidence_beside_test-");
    const pid_t child = ::fork();
    if (child == 0) ::_exit(0);
    REQUIRE(::waitpid(child, nullptr, 0) == child);
    fs::create_directory(folder.at("elsewhere"));
    fs::create_symlink(folder.at("elsewhere"), folder.at("tern.html-evidence"));
    const fs::path half = folder.at("elsewhere/vessel.toml") + ".part-" + std::to_string(child);
    REQUIRE(write_file(half, "half"));
    CHECK(clear_left_parts(folder.at("tern.html")).empty());
    CHECK(fs::exists(half));
}
