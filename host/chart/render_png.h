// A scene as pixels, and the width of text in the font that they are drawn with.
#pragma once

#include "base/result.h"
#include "chart/scene.h"

namespace quaycell {

/// A PNG at `dpi` dots per inch (36 to 1200). Refused: a picture of more than 100 million pixels.
Result<std::string> render_png(const Scene& scene, double dpi);

/// Measures text as render_png draws it.
TextWidth drawn_text_width();

} // namespace quaycell
