// How wide text is in the font that scenes are drawn with.
#pragma once

#include "chart/scene.h"

namespace quaycell {

/// Measures text as render_png and render_pdf draw it.
TextWidth drawn_text_width();

} // namespace quaycell
