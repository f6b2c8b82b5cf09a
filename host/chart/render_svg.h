// A scene as SVG, with text that stays text.
#pragma once

#include "chart/scene.h"

namespace quaycell {

/// A whole SVG 1.1 document, UTF-8, the same bytes for the same scene. Whatever the texts hold, it
/// is well-formed and carries no markup of theirs.
std::string render_svg(const Scene& scene);

/// The same as an element to stand within another document, where the ids of its title and
/// description begin with `id`.
std::string svg_element(const Scene& scene, const std::string& id);

} // namespace quaycell
