// quaycell anodes: the job round the reading.
#include "cli/anodes.h"

#include <CLI/CLI.hpp>

namespace quaycell {

Result<Boat> boat_for_anodes(const BoatOptions& options) {
    BoatOptions with_scale = options;
    if (with_scale.scale.empty()) with_scale.scale = name_of(Scale::agcl_seawater);
    return boat_from(with_scale);
}

void add_anodes(CLI::App& program, Action& action) {
    CLI::App* anodes =
        program.add_subcommand("anodes", "Which alloy, how much of it, and until when it lasts");
    anodes->require_subcommand(1);
    add_anodes_choose(*anodes, action);
    add_anodes_size(*anodes, action);
    add_anodes_log(*anodes, action);
    add_anodes_wear(*anodes, action);
    add_anodes_plan(*anodes, action);
    anodes->footer("Examples:\n"
                   "  quaycell anodes choose --hull aluminium --water brackish\n"
                   "  quaycell anodes size --help\n"
                   "  quaycell anodes fitted --archive tern.quaycell --place rudder --alloy zinc "
                   "--mass-kg 0.9\n"
                   "  quaycell anodes wear --archive tern.quaycell\n"
                   "  quaycell anodes plan --archive tern.quaycell --vessel tern.toml");
}

} // namespace quaycell
