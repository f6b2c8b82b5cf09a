// The world that a simulated logger lives in, read from a TOML file.
#pragma once

#include "bench/chips/nor.h"
#include "bench/sea/signal.h"

#include <chrono>
#include <filesystem>
#include <optional>
#include <string_view>
#include <vector>

namespace quaycell::bench {

/// The logger that is put into this world.
struct LoggerSetup {
    std::uint32_t device_id = 1;
    bool calibrated =
        true; ///< a calibration that takes out the converter's errors stands in EEPROM
    double converter_offset_codes = 0;
    double converter_gain_ppm = 0;
    double converter_noise_codes = 0; ///< standard deviation of one conversion
    double converter_rate_percent = 0;
    double converter_gain_drift_ppm_k = 0; ///< from 25 degC, as all drifts
    double converter_offset_drift_codes_k = 0;
    double converter_inl_codes = 0; ///< largest departure from the straight line
    double reference_error_ppm = 0; ///< of COM at 25 degC
    double reference_drift_ppm_k = 0;
    std::uint32_t flash_mb = 2;
    std::uint32_t flash_erase_ms = 45;             ///< of a sector
    std::optional<std::uint8_t> flash_id_capacity; ///< as its id tells it, a power of two
    bool clock_set = false;                        ///< the clock chip already has the right time
    double clock_drift_ppm = 0;
    std::optional<double> cell_b_offset_mv; ///< a second cell that reads this much more; else none
};

/// For a time no current passes a lead.
struct LeadFault {
    enum class What { a_open, b_open, clip_off };
    What what;
    Time at, until;
};

struct Scenario {
    std::chrono::sys_seconds start;
    std::uint64_t seed = 1;
    LoggerSetup logger;
    Signal potential_mv;  ///< of the metal, against agcl/seawater
    Signal temperature_c; ///< of the water
    Signal salinity_psu;
    Signal board_temperature_c;
    Signal battery_mv;
    Signal ac_mv; ///< rms between hull and cell
    double ac_hz = 50;
    Signal source_ohm;   ///< of cell A and its lead
    Signal source_b_ohm; ///< of cell B
    double cable_nf = 0; ///< of each cell's lead
    std::vector<LeadFault> lead_faults;
    std::vector<WornSector> worn_sectors; ///< of the flash
};

/// Both throw WrongInput, which names the line.
Scenario read_scenario(const std::filesystem::path& file);
Scenario parse_scenario(std::string_view toml, const std::string& name);

} // namespace quaycell::bench
