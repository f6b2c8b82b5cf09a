// How long a trace CSV takes to be read, file and all, in seconds of processor time. year.py runs
// it.
#include "series/trace_csv.h"

#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>

int main(int argc, char** argv) {
    if (argc != 2) {
        fmt::print(stderr, "usage: read_csv FILE\n");
        return 2;
    }
    const std::clock_t start = std::clock();
    std::string text(std::filesystem::file_size(argv[1]), '\0');
    std::ifstream(argv[1], std::ios::binary).read(text.data(), std::ssize(text));
    const auto trace = quaycell::read_trace_csv(text, argv[1]);
    if (!trace) {
        fmt::print(stderr, "{}\n", to_text(trace.error()));
        return 1;
    }
    fmt::print("{:.4f}\n", static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    return 0;
}
