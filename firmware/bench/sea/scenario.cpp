#include "bench/sea/scenario.h"

#include "bench/random.h"
#include "bench/sea/cell.h"
#include "bench/sea/toml_reader.h"

#include <fmt/format.h>

#include <fstream>
#include <sstream>

namespace quaycell::bench {

namespace {

// What is assumed where the scenario does not say: a mild cabin, and alkaline cells a little used.
constexpr double usual_board_temperature_c = 20;
constexpr double usual_battery_mv = 4500;
// A wet cell on a few metres of cable.
constexpr double usual_source_ohm = 2000;
constexpr double longest_cable_nf = 3; ///< what the simulated circuit was asked for

Part read_part(TomlReader& part, std::uint64_t noise_seed) {
    const std::string kind = part.text("kind");
    if (kind == "ramp") {
        const Ramp ramp{part.duration("from"), part.duration("to"), part.number("change")};
        if (ramp.to <= ramp.from)
            part.fail(part.table(), "the ramp ends before it begins", "Put \"from\" before \"to\"");
        return ramp;
    }
    if (kind == "tide") return Tide{part.number("amplitude"), part.duration("high_at")};
    if (kind == "day") return Day{part.number("amplitude"), part.duration("high_at")};
    if (kind == "step") {
        const Step step{part.duration("at"), part.duration("until"), part.number("change")};
        if (step.until <= step.at)
            part.fail(part.table(), "the step ends before it begins",
                      "Put \"at\" before \"until\"");
        return step;
    }
    if (kind == "noise") return Noise{part.number("sigma"), noise_seed};
    part.fail(part.need("kind"), fmt::format("unknown kind of part \"{}\"", kind),
              "Known kinds: ramp, tide, day, step, noise");
}

Signal read_signal(const toml::node& node, const TomlReader& file, const std::string& key,
                   std::uint64_t seed) {
    if (!node.is_table())
        file.fail(node, fmt::format("\"{0}\" is not a table", key),
                  fmt::format("Write [{}] and base = ...", key));
    TomlReader signal{*node.as_table(), file.file(), "[" + key + "]"};
    const double base = signal.number("base");
    std::vector<Part> parts;
    if (const toml::node* const list = signal.find("part")) {
        const toml::array* const tables = list->as_array();
        if (tables == nullptr)
            signal.fail(*list, "\"part\" is not a list", "Write part = [ { kind = ... } ]");
        for (const toml::node& entry : *tables) {
            if (!entry.is_table())
                signal.fail(entry, "a part is not a table", "Write { kind = ... }");
            TomlReader part{*entry.as_table(), file.file(), "a part of [" + key + "]"};
            parts.push_back(read_part(part, random_bits(seed, parts.size())));
            part.refuse_unknown();
        }
    }
    signal.refuse_unknown();
    return {base, std::move(parts)};
}

LoggerSetup read_logger(const toml::node& node, const TomlReader& file) {
    if (!node.is_table()) file.fail(node, "\"logger\" is not a table", "Write [logger]");
    TomlReader logger{*node.as_table(), file.file(), "[logger]"};
    LoggerSetup setup;
    setup.device_id = logger.whole("device_id", setup.device_id);
    setup.calibrated = logger.flag("calibrated", setup.calibrated);
    setup.converter_offset_codes = logger.number("converter_offset_codes", 0);
    setup.converter_gain_ppm = logger.number("converter_gain_ppm", 0);
    setup.converter_noise_codes = logger.number("converter_noise_codes", 0);
    setup.converter_rate_percent = logger.number("converter_rate_percent", 0);
    setup.converter_gain_drift_ppm_k = logger.number("converter_gain_drift_ppm_k", 0);
    setup.converter_offset_drift_codes_k = logger.number("converter_offset_drift_codes_k", 0);
    setup.converter_inl_codes = logger.number("converter_inl_codes", 0);
    setup.reference_error_ppm = logger.number("reference_error_ppm", 0);
    setup.reference_drift_ppm_k = logger.number("reference_drift_ppm_k", 0);
    setup.flash_mb = logger.whole("flash_mb", setup.flash_mb);
    setup.flash_erase_ms = logger.whole("flash_erase_ms", setup.flash_erase_ms);
    if (logger.find("flash_id_capacity") != nullptr)
        setup.flash_id_capacity = logger.whole("flash_id_capacity", std::uint8_t{0});
    setup.clock_set = logger.flag("clock_set", setup.clock_set);
    setup.clock_drift_ppm = logger.number("clock_drift_ppm", 0);
    if (logger.find("cell_b_offset_mv") != nullptr)
        setup.cell_b_offset_mv = logger.number("cell_b_offset_mv");
    if (setup.flash_mb != 2 && setup.flash_mb != 4 && setup.flash_mb != 8 && setup.flash_mb != 16)
        logger.fail(logger.need("flash_mb"), "there is no flash of that size", "Use 2, 4, 8 or 16");
    logger.refuse_unknown();
    return setup;
}

/// The tables of a list, each of whose keys must be known.
template <typename Read>
void read_tables(TomlReader& file, const std::string& key, Read read) {
    const toml::node* const list = file.find(key);
    if (list == nullptr) return;
    const toml::array* const tables = list->as_array();
    if (tables == nullptr)
        file.fail(*list, fmt::format("\"{}\" is not a list", key),
                  fmt::format("Write [[{}]]", key));
    for (const toml::node& entry : *tables) {
        if (!entry.is_table())
            file.fail(entry, fmt::format("an entry of \"{}\" is not a table", key),
                      fmt::format("Write [[{}]]", key));
        TomlReader table{*entry.as_table(), file.file(), "[[" + key + "]]"};
        read(table);
        table.refuse_unknown();
    }
}

LeadFault read_lead_fault(TomlReader& table) {
    const std::string what = table.text("what");
    LeadFault fault{{}, table.duration("at"), table.duration("until")};
    if (fault.until <= fault.at)
        table.fail(table.table(), "the fault ends before it begins", "Put \"at\" before \"until\"");
    if (what == "a-open")
        fault.what = LeadFault::What::a_open;
    else if (what == "b-open")
        fault.what = LeadFault::What::b_open;
    else if (what == "clip-off")
        fault.what = LeadFault::What::clip_off;
    else
        table.fail(table.need("what"), fmt::format("unknown fault of a lead \"{}\"", what),
                   "Known: a-open, b-open, clip-off");
    return fault;
}

WornSector read_worn_sector(TomlReader& table, std::uint32_t flash_mb) {
    const std::string what = table.text("what");
    const auto sector =
        table.value<std::uint32_t>(table.need("sector"), "sector", "a whole number of that size");
    if (sector >= flash_mb * (1048576 / Nor::sector_size))
        table.fail(table.need("sector"), "the flash has no such sector",
                   "Count from 0; there are 256 in 1 MB");
    if (what == "erase") return {WornSector::What::erase, sector};
    if (what == "program") return {WornSector::What::program, sector};
    table.fail(table.need("what"), fmt::format("unknown fault of a sector \"{}\"", what),
               "Known: erase, program");
}

std::chrono::sys_seconds read_start(TomlReader& file) {
    const toml::node& node = file.need("start");
    const auto written = node.value<toml::date_time>();
    if (!written || !written->offset)
        file.fail(node, "\"start\" is not a time with its offset from UTC",
                  "Write for instance start = 2026-05-04T06:00:00Z");
    using namespace std::chrono;
    const year_month_day date{year{written->date.year}, month{written->date.month},
                              day{written->date.day}};
    return sys_days{date} + hours{written->time.hour} + minutes{written->time.minute} +
           seconds{written->time.second} - minutes{written->offset->minutes};
}

void need_within(const TomlReader& file, const toml::node& node, const Signal& signal,
                 Range allowed, const char* what) {
    const Range limits = signal.limits();
    if (limits.low < allowed.low || limits.high > allowed.high)
        file.fail(node,
                  fmt::format("{} runs from {:g} to {:g}, the cell's table covers {:g} to {:g}",
                              what, limits.low, limits.high, allowed.low, allowed.high),
                  "Make its parts smaller");
}

Scenario read(const toml::table& table, const std::string& name) {
    TomlReader file{table, name, "the scenario"};
    Scenario scenario;
    scenario.start = read_start(file);
    scenario.seed = file.whole("seed", scenario.seed);
    if (const toml::node* const logger = file.find("logger"))
        scenario.logger = read_logger(*logger, file);

    std::uint64_t stream = 0;
    const auto signal = [&](const std::string& key) {
        return read_signal(file.need(key), file, key, random_bits(scenario.seed, ++stream));
    };
    const auto signal_or = [&](const std::string& key, double otherwise) {
        return file.find(key) == nullptr ? Signal{otherwise, {}} : signal(key);
    };
    scenario.potential_mv = signal("potential_mv");
    scenario.temperature_c = signal("temperature_c");
    scenario.salinity_psu = signal("salinity_psu");
    scenario.board_temperature_c = signal_or("board_temperature_c", usual_board_temperature_c);
    scenario.battery_mv = signal_or("battery_mv", usual_battery_mv);
    scenario.ac_mv = signal_or("ac_mv", 0);
    scenario.ac_hz = file.number("ac_hz", scenario.ac_hz);
    if (scenario.ac_hz <= 0)
        file.fail(file.need("ac_hz"), "AC has a frequency above 0", "Write for instance 50");
    scenario.source_ohm = signal_or("source_ohm", usual_source_ohm);
    scenario.source_b_ohm = signal_or("source_b_ohm", usual_source_ohm);
    scenario.cable_nf = file.number("cable_nf", scenario.cable_nf);
    if (scenario.cable_nf < 0 || scenario.cable_nf > longest_cable_nf)
        file.fail(file.need("cable_nf"), "the cable has 0 to 3 nF", "Correct the value");
    read_tables(file, "lead",
                [&](TomlReader& entry) { scenario.lead_faults.push_back(read_lead_fault(entry)); });
    read_tables(file, "worn_sector", [&](TomlReader& entry) {
        scenario.worn_sectors.push_back(read_worn_sector(entry, scenario.logger.flash_mb));
    });
    file.refuse_unknown();

    need_within(file, file.need("salinity_psu"), scenario.salinity_psu, cell_salinity_psu(),
                "salinity");
    need_within(file, file.need("temperature_c"), scenario.temperature_c, cell_temperature_c(),
                "temperature");
    return scenario;
}

} // namespace

Scenario parse_scenario(std::string_view toml, const std::string& name) {
    try {
        return read(toml::parse(toml), name);
    } catch (const toml::parse_error& error) {
        throw WrongInput(fmt::format("{}:{}: {}. Correct the TOML", name, error.source().begin.line,
                                     error.description()));
    }
}

Scenario read_scenario(const std::filesystem::path& file) {
    std::ifstream stream{file};
    if (!stream)
        throw WrongInput(
            fmt::format("{}: cannot be read. Name a scenario file with --scenario", file.string()));
    std::ostringstream text;
    text << stream.rdbuf();
    return parse_scenario(text.str(), file.string());
}

} // namespace quaycell::bench
