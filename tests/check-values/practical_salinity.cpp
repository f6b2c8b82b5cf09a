// Answers lines of "ratio temperature_c pressure_dbar" with the practical salinity, for
// gsw_grid.py.
#include "electrode/salinity.h"

#include <cstdio>

int main() {
    double ratio = 0;
    double temperature_c = 0;
    double pressure_dbar = 0;
    while (std::scanf("%lf %lf %lf", &ratio, &temperature_c, &pressure_dbar) == 3)
        std::printf("%.17g\n", quaycell::practical_salinity(ratio, temperature_c, pressure_dbar));
}
