#include "electrode/conversion_parts.h"

#include <fmt/format.h>

namespace quaycell {

Result<std::vector<ConversionPart>> conversion_parts(Scale from, Scale to, const Water& water,
                                                     Constants constants,
                                                     ChlorideActivity activity) {
    const Result<double> whole_mv = convert_mv(0, from, to, water, constants, activity);
    if (!whole_mv) return whole_mv.error();
    std::vector<ConversionPart> parts;
    if (from == to) return parts;

    Water standard; // the water in which the scales are tabled
    standard.salinity_psu = {standard_seawater_psu, standard_seawater_psu};
    standard.temperature_c = reference_temperature_c;
    const auto reference_mv = [&](Scale scale) {
        return *reference_vs_she_mv(scale, standard, constants, activity);
    };
    const double scale_mv = reference_mv(from) - reference_mv(to);
    const bool isothermal = constants == Constants::computed;
    parts.push_back({"scale", scale_mv,
                     fmt::format("{} stands at {:+.1f} mV and {} at {:+.1f} mV against she in sea "
                                 "water of salinity {}{}",
                                 name_of(from), reference_mv(from), name_of(to), reference_mv(to),
                                 standard_seawater_psu,
                                 isothermal ? fmt::format(" at {} degC", reference_temperature_c)
                                            : ", by the standards' rounded constants")});

    standard.temperature_c = water.temperature_c;
    const double here_mv = reference_mv(from) - reference_mv(to);
    if (isothermal)
        parts.push_back({"temperature", here_mv - scale_mv,
                         fmt::format("from {} to {} degC, both scales and she at the same "
                                     "temperature",
                                     reference_temperature_c, water.temperature_c)});
    if (from == Scale::agcl_open || to == Scale::agcl_open)
        parts.push_back({"chloride", *whole_mv - here_mv,
                         fmt::format("a bare element in this water against the same in sea water "
                                     "of salinity {}, at the same temperature",
                                     standard_seawater_psu)});
    return parts;
}

} // namespace quaycell
