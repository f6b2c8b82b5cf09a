#include "bench/sea/cell.h"

#include "bench/sea/cell_table.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <sstream>
#include <string>

namespace quaycell::bench {

namespace {

constexpr double standard_salinity_psu = 35;

struct Table {
    std::vector<double> salinity_psu, temperature_c;
    std::vector<double> potential_mv; ///< by salinity, then temperature
    double at(std::size_t salinity, std::size_t temperature) const {
        return potential_mv[salinity * temperature_c.size() + temperature];
    }
};

void note(std::vector<double>& axis, double value) {
    if (axis.empty() || axis.back() < value) axis.push_back(value);
}

Table read_table() {
    Table table;
    std::istringstream lines{cell_table_csv};
    for (std::string line; std::getline(lines, line);) {
        double salinity = 0, temperature = 0, potential = 0;
        char comma = 0;
        std::istringstream fields{line};
        if (!(fields >> salinity >> comma >> temperature >> comma >> potential))
            continue; // heading
        note(table.salinity_psu, salinity);
        note(table.temperature_c, temperature);
        table.potential_mv.push_back(potential);
    }
    return table;
}

const Table& table() {
    static const Table table = read_table();
    return table;
}

struct Place {
    std::size_t below;
    double fraction; ///< of the way to the next
};

template <typename Measure>
Place find(const std::vector<double>& axis, double value, Measure measure) {
    const double inside = std::clamp(value, axis.front(), axis.back());
    const auto above = std::upper_bound(axis.begin() + 1, axis.end() - 1, inside);
    const auto below = static_cast<std::size_t>(above - axis.begin() - 1);
    return {below, (measure(inside) - measure(axis[below])) /
                       (measure(axis[below + 1]) - measure(axis[below]))};
}

} // namespace

Range cell_salinity_psu() {
    return {table().salinity_psu.front(), table().salinity_psu.back()};
}
Range cell_temperature_c() {
    return {table().temperature_c.front(), table().temperature_c.back()};
}

double cell_potential_mv(double salinity_psu, double temperature_c) {
    const Table& known = table();
    const Place s = find(known.salinity_psu, salinity_psu, [](double x) { return std::log(x); });
    const Place t = find(known.temperature_c, temperature_c, [](double x) { return x; });
    const auto along_temperature = [&](std::size_t salinity) {
        return std::lerp(known.at(salinity, t.below), known.at(salinity, t.below + 1), t.fraction);
    };
    return std::lerp(along_temperature(s.below), along_temperature(s.below + 1), s.fraction);
}

double reading_mv(double agcl_seawater_mv, double salinity_psu, double temperature_c) {
    return agcl_seawater_mv - (cell_potential_mv(salinity_psu, temperature_c) -
                               cell_potential_mv(standard_salinity_psu, temperature_c));
}

} // namespace quaycell::bench
