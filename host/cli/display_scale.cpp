#include "cli/display_scale.h"

#include <CLI/CLI.hpp>

namespace quaycell {

void add_display_scale_option(CLI::App& command, DisplayScale& display) {
    command
        .add_option_function<std::string>(
            "--display-scale",
            [&display](const std::string& typed) {
                const auto scale = scale_named(typed);
                if (!scale)
                    throw CLI::ValidationError("--display-scale",
                                               scale.error().what + ". " + scale.error().remedy);
                display.scale = *scale;
            },
            "Show the potential on this scale; it is judged on agcl/seawater all the same")
        ->type_name("SCALE");
}

} // namespace quaycell
