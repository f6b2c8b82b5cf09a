// The vessel file: what the owner or surveyor knows of the boat, written by hand in TOML.
#pragma once

#include "base/result.h"
#include "base/time.h"
#include "electrode/scale.h"
#include "electrode/water.h"
#include "protection/criterion.h"
#include "vessel/hull_place.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// [water]: one of these at most; all absent means nothing is known.
struct WaterFacts {
    std::optional<std::string> kind; ///< "sea", "brackish", "fresh"
    std::optional<Range> salinity_psu;
    std::optional<Range> conductivity_ms_cm;    ///< at the water's own temperature
    std::optional<Range> conductivity_25_ms_cm; ///< compensated to 25 degC
    std::optional<Range> resistivity_ohm_m;     ///< at the water's own temperature
    std::optional<Range> chloride_mg_l;
    std::optional<double> temperature_c;
};

/// [cell]
struct CellFacts {
    std::optional<Scale> scale;
    std::string serial;
    std::string last_check; ///< a date, as written
};

/// [baseline]: the free potential, anodes disconnected, for the shift rule.
struct BaselineFacts {
    double potential_mv = 0;
    Scale scale = Scale::agcl_open;
    std::string date;
};

/// [[metal]]: an underwater metal bonded to the hull.
struct MetalFacts {
    std::string name;
    std::string kind; ///< one of the metals that criteria know
};

/// [[point]]: a place to touch in a survey.
struct PointFacts {
    std::string name;
    std::string metal; ///< name of a [[metal]], or empty for the hull itself
    bool bonded = true;
    std::optional<HullPlace> place; ///< for the drawing
};

/// [[anode]]
struct AnodeFacts {
    std::string place;
    std::string alloy; ///< "zinc", "aluminium", "magnesium"
    std::optional<double> mass_kg;
    std::optional<WhenDone> fitted;
};

struct Vessel {
    std::string name;
    Hull hull = Hull::steel;
    std::string berth;
    std::optional<WhenDone> launched;
    std::optional<double> length_m;
    std::optional<double> beam_m;
    std::optional<double> draught_m;
    WaterFacts water;
    CellFacts cell;
    std::string rule_set; ///< empty: the default one
    Oxygen oxygen = Oxygen::aerobic;
    std::optional<BaselineFacts> baseline;
    std::vector<MetalFacts> metals;
    std::vector<PointFacts> points;
    std::vector<AnodeFacts> anodes;
};

/// Reads a vessel file. Unknown keys, wrong types and impossible values are errors whose place is
/// "WHERE:line" and whose cause names the key. The rule set has to be one of `criteria`.
Result<Vessel> parse_vessel(std::string_view toml, std::string_view where,
                            std::span<const Criterion> criteria = built_in_criteria());

/// A vessel file to start from, with every table explained.
std::string new_vessel_file(std::string_view name, Hull hull);

} // namespace quaycell
