// The figure of a judged trace.
#pragma once

#include "chart/scene.h"
#include "cli/trace_source.h"

namespace quaycell {

/// `caption`: paragraphs below the chart and its key, for a figure that stands alone; without it,
/// the key is elsewhere.
Scene figure_of(const TraceJudgement& judgement, double width_mm,
                const std::vector<std::string>& caption, const TextWidth& text_width);

} // namespace quaycell
