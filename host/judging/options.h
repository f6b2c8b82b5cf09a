// Options that several commands share, added and read in one place.
#pragma once

#include "base/result.h"
#include "electrode/scale.h"
#include "electrode/water.h"
#include "judging/files.h"
#include "vessel/vessel.h"

#include <cstdint>
#include <optional>
#include <string>

namespace CLI {
class App;
}

namespace quaycell {

/// --temperature and one of --water, --salinity, --conductivity, --conductivity-25, --resistivity,
/// --chloride.
struct WaterOptions {
    std::optional<double> temperature_c;
    std::optional<std::string> kind;
    std::optional<double> salinity_psu;
    std::optional<double> conductivity_ms_cm;
    std::optional<double> conductivity_25_ms_cm;
    std::optional<double> resistivity_ohm_m;
    std::optional<double> chloride_mg_l;
};

void add_water_options(CLI::App& command, WaterOptions& options);

/// Whether the command line says what water it is, its temperature aside.
bool names_water(const WaterOptions& options);

/// The water of the command line, else as known from elsewhere, else assumed (sea, 15 degC) and
/// said so.
Result<Water> water_from(const WaterOptions& options, const WaterFacts& known = {});

/// --survey: the number of one that an archive holds.
void add_survey_option(CLI::App& command, std::int64_t& number, const std::string& what);

/// --activity: what stands for the activity of chloride, macinnes or mean-nacl.
inline constexpr const char* default_activity_name = "macinnes";
void add_activity_option(CLI::App& command, std::string& name);
ChlorideActivity activity_named(std::string_view name);

/// A potential as typed, [mV]. A bare number that can only be volts is refused (wrong_usage); with
/// a unit it is taken at its word. `option` is where it stood, empty for an argument without a
/// name.
Result<double> potential_from(const std::string& typed, const std::string& option);

/// Reads and checks a vessel file from disk.
Result<Vessel> load_vessel(const GivenFile& file,
                           std::span<const Criterion> criteria = built_in_criteria());

/// An error unless `value` is a finite number, for options that the library reads as numbers.
std::optional<Error> not_finite(std::string_view option, std::optional<double> value);

} // namespace quaycell
