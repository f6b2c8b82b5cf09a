// A scene as pixels.
#pragma once

#include "base/result.h"
#include "chart/scene.h"

namespace quaycell {

/// A PNG at `dpi` dots per inch (36 to 1200). Refused: a picture of more than 100 million pixels.
Result<std::string> render_png(const Scene& scene, double dpi);

} // namespace quaycell
