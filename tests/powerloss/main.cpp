// quaycell's log against power cuts: every operation, every way to fail. See --help.
#include "runner.h"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

using namespace quaycell::powerloss;

namespace {

std::string joined_names() {
    std::string names;
    for (const Workload& workload : workloads())
        names += (names.empty() ? "" : ", ") + std::string(workload.name);
    return names;
}

std::string name_of(const std::optional<Worn>& worn) {
    return worn ? to_text(*worn) : "none";
}

std::vector<std::optional<Worn>> with_and_without_worn() {
    std::vector<std::optional<Worn>> all{std::nullopt};
    for (const Worn& worn : all_worn())
        all.push_back(worn);
    return all;
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app{"Cuts the power at every operation of the flash log. Prints each failure as one "
                 "line that it accepts back, and how many cases it tried."};
    std::vector<std::string> names, words, worn_names;
    std::uint64_t one_of = 1, most_failures = 20;
    app.add_option("--workload", names, "only these of: " + joined_names());
    app.add_option("--worn", worn_names,
                   "only with these worn sectors: none, never-erases:0 and so on; without it with "
                   "none, then with each");
    app.add_option("--one-of", one_of,
                   "of so many first cuts in readings try one, of others ten times as many; with a "
                   "worn sector a sixteenth of the readings, and half of the others; with all "
                   "second ones. 1: all but for those readings")
        ->check(CLI::PositiveNumber);
    app.add_option("--most-failures", most_failures, "stop a workload after so many")
        ->check(CLI::PositiveNumber);
    app.add_option("case", words, "one case, as printed: workload=ring cut=137 tear=byte:12 ...");
    CLI11_PARSE(app, argc, argv);

    Choice choice;
    choice.one_of = one_of;
    if (!words.empty()) {
        try {
            choice.only = parse_case(fmt::format("{}", fmt::join(words, " ")));
        } catch (const std::invalid_argument& wrong) {
            fmt::print(stderr, "the case cannot be read: {}. Give it as it was printed\n",
                       wrong.what());
            return 2;
        }
        names = {choice.only->workload};
        worn_names = {name_of(choice.only->worn)};
    }
    Tally all;
    for (const Workload& workload : workloads()) {
        if (!names.empty() && std::ranges::find(names, workload.name) == names.end()) continue;
        for (const std::optional<Worn>& worn : with_and_without_worn()) {
            if (!worn_names.empty() &&
                std::ranges::find(worn_names, name_of(worn)) == worn_names.end())
                continue;
            std::uint64_t failures = 0;
            const Tally tally =
                run(workload, worn, choice, [&](const std::string& line, const std::string& why) {
                    fmt::print("failed: {}\n        {}\n", line, why);
                    return ++failures < most_failures;
                });
            fmt::print("{}, worn {}: {} operations, {} cases, {} failures\n", workload.name,
                       name_of(worn), tally.operations, tally.cases, tally.failures);
            std::fflush(stdout);
            all.cases += tally.cases;
            all.failures += tally.failures;
            all.fitting_by_chance += tally.fitting_by_chance;
        }
    }
    if (all.cases + all.failures == 0) {
        fmt::print(stderr, "there is no such case. Workloads: {}\n", joined_names());
        return 2;
    }
    fmt::print("{} cases, {} failures; {} more left out, torn records that have the right checksum "
               "by chance\n",
               all.cases, all.failures, all.fitting_by_chance);
    return all.failures == 0 ? 0 : 1;
}
