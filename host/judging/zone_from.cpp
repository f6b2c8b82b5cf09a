#include "judging/zone_from.h"

#include <CLI/CLI.hpp>
#include <date/tz.h>
#include <fmt/format.h>

namespace quaycell {

void add_zone_option(CLI::App& command, std::string& name) {
    command
        .add_option("--zone", name,
                    "Show times by the clocks of this zone, with their changes in spring and "
                    "autumn: Europe/Amsterdam, America/New_York")
        ->type_name("NAME")
        ->capture_default_str();
}

Result<Zone> zone_named(const std::string& name, Instant from, Instant to) {
    if (name == "UTC") return Zone();
    try {
        const date::time_zone* const known = date::locate_zone(name);
        std::vector<ZoneStretch> stretches;
        for (auto at = std::chrono::floor<std::chrono::seconds>(from);;) {
            const date::sys_info info = known->get_info(at);
            stretches.push_back({Instant{info.begin}, info.offset, info.abbrev});
            if (info.end > to) return Zone(name, std::move(stretches));
            at = info.end;
        }
    } catch (const std::runtime_error&) {
        return Error{ErrorCode::wrong_usage,
                     fmt::format("\"{}\" is no time zone that this machine knows", name), "--zone",
                     "Give a name like Europe/Amsterdam; they are those of /usr/share/zoneinfo "
                     "(Debian package tzdata). Without --zone, times are in UTC."};
    }
}

} // namespace quaycell
