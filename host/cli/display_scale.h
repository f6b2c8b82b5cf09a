// --display-scale: what a potential is shown on while it is read.
#pragma once

#include "electrode/scale.h"

namespace CLI {
class App;
}

namespace quaycell {

struct DisplayScale {
    Scale scale = Scale::agcl_seawater;
};

/// Another name than a scale's is wrong usage.
void add_display_scale_option(CLI::App& command, DisplayScale& display);

} // namespace quaycell
