// Converts ten million (salinity, temperature, reading) points from agcl/open to she, and says how
// much processor time the library took. convert_benchmark.py runs it beside numpy on the same
// points.
//
// usage: convert_benchmark POINTS SALINITIES TEMPERATURES READINGS ANSWERS    raw doubles, POINTS
// each
#include "electrode/open_element.h"

#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <vector>

using namespace quaycell;

namespace {

std::vector<double> read_doubles(const char* path, std::size_t count) {
    std::vector<double> values(count);
    std::ifstream in(path, std::ios::binary);
    in.read(reinterpret_cast<char*>(values.data()),
            static_cast<std::streamsize>(count * sizeof(double)));
    if (!in) std::exit(2);
    return values;
}

} // namespace

int main(int argument_count, char** arguments) {
    if (argument_count != 6) return 2;
    const std::size_t count = std::strtoull(arguments[1], nullptr, 10);
    const std::vector<double> salinity = read_doubles(arguments[2], count);
    const std::vector<double> temperature = read_doubles(arguments[3], count);
    std::vector<double> potential = read_doubles(arguments[4], count);

    const std::clock_t start = std::clock();
    for (std::size_t i = 0; i < count; ++i)
        potential[i] += *open_element_vs_she_mv(*chloride_of_salinity(salinity[i]), temperature[i]);
    const double took_s = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;

    std::ofstream out(arguments[5], std::ios::binary);
    out.write(reinterpret_cast<const char*>(potential.data()),
              static_cast<std::streamsize>(count * sizeof(double)));
    std::printf("%.6f\n", took_s);
    return out ? 0 : 1;
}
