// The boat that a reading is judged for: from the vessel file, the command line, or assumed.
#pragma once

#include "base/result.h"
#include "base/time.h"
#include "diagnosis/causes.h"
#include "electrode/budget.h"
#include "judging/files.h"
#include "judging/options.h"
#include "protection/rules.h"
#include "series/settling.h"
#include "vessel/vessel.h"

#include <chrono>
#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// --vessel, --hull, --scale, --rules, --criteria, --oxygen, --baseline, --cell-checked,
/// --budget and the water options.
struct BoatOptions {
    GivenFile vessel_file;
    std::string hull;
    std::string scale;
    std::string rule_set;
    GivenFile criteria_file;
    std::string oxygen;
    std::string baseline;
    bool cell_checked = false;
    GivenFile budget_file;
    WaterOptions water;
    std::optional<StatedMeter> meter; ///< that the readings were taken with; no option says it
};

/// All of them; and those alone that tell hull, criteria and water.
void add_boat_options(CLI::App& command, BoatOptions& options);
void add_hull_options(CLI::App& command, BoatOptions& options);

/// What judging needs to know of a boat. The command line wins over the vessel file.
struct Boat {
    std::string name;  ///< empty when no vessel file was given
    std::string berth; ///< may be empty
    Hull hull;
    Scale cell_scale;
    bool cell_scale_assumed = false;
    std::vector<std::string> metals; ///< kinds of the bonded metals
    std::string rule_set;
    std::vector<Criterion> criteria; ///< the built-in table, with the user's rows
    Oxygen oxygen = Oxygen::aerobic;
    std::optional<BaselineFacts> baseline;
    std::vector<AnodeFacts> anodes;
    std::vector<Refit> refits;           ///< launch and new anodes
    Water water;                         ///< with all that was assumed
    std::optional<CellCheck> cell_check; ///< as comparisons on record or the command line say
    std::string cell_last_check;         ///< a date, or empty
    std::string cell_serial;             ///< may be empty
    BudgetTerms budget_terms = default_budget_terms();
    std::optional<Meter> meter; ///< that took the readings
};

/// What the readings themselves tell; it wins over the vessel file.
struct TraceFacts {
    std::optional<Scale> cell_scale;
    std::optional<double> temperature_c;
    std::optional<Range> salinity_psu;
    std::optional<CalibratedMeter> meter;
};

/// The built-in criteria, with the rows of a file where one is named.
Result<std::vector<Criterion>> criteria_from(const GivenFile& own_file);

Result<Boat> boat_from(const BoatOptions& options, const TraceFacts& trace = {});

/// A comparison of the cell counts for readings so long before it and so long after it. Our
/// judgement: a cell rarely drifts by more than the 5 mV of the budget in that time.
inline constexpr std::chrono::days comparison_counts_for{1};

/// Whether the cell was compared with another for all of these readings: as is known of the boat's
/// cell, else on the day that the vessel file names.
CellCheck cell_check_of(const Boat& boat, Instant first, Instant last);

/// What causes depend on.
BoatInWater in_its_water(const Boat& boat);

/// The rules that count for the boat.
Result<Rules> rules_of(const Boat& boat);

} // namespace quaycell
