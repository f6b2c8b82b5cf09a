// The figure of a judged trace.
#pragma once

#include "chart/scene.h"
#include "cli/trace_source.h"

namespace quaycell {

/// `caption`: paragraphs below the chart, for a figure that stands alone.
Scene figure_of(const TraceJudgement& judgement, double width_mm,
                const std::vector<std::string>& caption, const TextWidth& text_width);

} // namespace quaycell
