// The program's own command line: what it says and how it ends.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>
#include <sys/wait.h>
#include <unistd.h>

namespace {

struct Outcome {
    int exit_code;
    std::string words; ///< stdout and stderr
};

Outcome bench(const std::string& input, const std::string& arguments) {
    const std::string command =
        "printf '" + input + "' | " QUAYCELL_BENCH " " + arguments + " 2>&1";
    FILE* const pipe = popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    Outcome outcome{};
    std::array<char, 512> bytes;
    while (std::fgets(bytes.data(), bytes.size(), pipe) != nullptr)
        outcome.words += bytes.data();
    const int status = pclose(pipe);
    outcome.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return outcome;
}

const std::string port = "--port /tmp/quaycell-bench-command-" + std::to_string(getpid());
const std::string berth = "--scenario " QUAYCELL_SCENARIOS "/quiet-berth.toml ";

bool says(const Outcome& outcome, const char* words) {
    return outcome.words.find(words) != std::string::npos;
}

} // namespace

TEST_CASE("it finds the firmware beside itself, is ready and takes commands") {
    const Outcome outcome = bench("advance 1min\\nquit\\n", berth + port);
    INFO(outcome.words);
    CHECK(outcome.exit_code == 0);
    CHECK(says(outcome, "ready /tmp/quaycell-bench-command-"));
    CHECK(says(outcome, "advanced 2026-05-04T06:01:00Z"));
}

TEST_CASE("the truth is written as far as time has come") {
    const std::string file = "/tmp/quaycell-bench-truth-" + std::to_string(getpid());
    bench("advance 10min\\nquit\\n", berth + port + " --truth " + file + " --truth-interval 2min");
    std::ifstream in{file};
    const std::string text{std::istreambuf_iterator<char>{in}, {}};
    std::remove(file.c_str());
    CHECK(std::count(text.begin(), text.end(), '\n') == 7); // heading, 0 to 10 minutes
    CHECK(text.find("2026-05-04T06:10:00Z,") != std::string::npos);
}

TEST_CASE("a scenario that is not there is the user's error") {
    const Outcome outcome = bench("", "--scenario nowhere.toml " + port);
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.words ==
          "quaycell-bench: nowhere.toml: cannot be read. Name a scenario file with "
          "--scenario\n");
}

TEST_CASE("a firmware that is none is the user's error") {
    const Outcome missing = bench("", berth + port + " --firmware nowhere.elf");
    CHECK(missing.exit_code == 2);
    CHECK(says(missing, "nowhere.elf: no such file."));
    const Outcome text =
        bench("", berth + port + " --firmware " QUAYCELL_SCENARIOS "/quiet-berth.toml");
    CHECK(text.exit_code == 2);
    CHECK(says(text, "not an AVR ELF"));
}

TEST_CASE("a wrong option is named") {
    const Outcome outcome = bench("", berth + port + " --warp 9");
    CHECK(outcome.exit_code == 2);
    CHECK(says(outcome, "--warp"));
    CHECK(bench("", berth + port + " --pace 2 --free").exit_code == 2);
}

TEST_CASE("help shows commands and examples") {
    const Outcome outcome = bench("", "--help");
    CHECK(outcome.exit_code == 0);
    CHECK(says(outcome, "advance 7d"));
    CHECK(says(outcome, "Examples:"));
}
