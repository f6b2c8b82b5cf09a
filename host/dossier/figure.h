// The figure of a judged trace.
#pragma once

#include "base/zone.h"
#include "chart/scene.h"
#include "dossier/figure_caption.h"
#include "judging/trace_source.h"

namespace quaycell {

/// How `trace` and `report` draw it.
struct FigureOptions {
    std::string zone = "UTC";
    std::string up = "less-negative"; ///< or "more-negative"
};

/// --zone and --up.
void add_figure_options(CLI::App& command, FigureOptions& options);

/// The zone of --zone, for the time that a trace takes and for more than a year about it, in which
/// a calibration ends and corrections are written.
Result<Zone> zone_of(const std::string& name, const Readings& trace);
Result<Zone> zone_of(const std::string& name, Instant first, Instant last);

/// A figure that stands alone has the key to its numbers and its caption below; else they are
/// elsewhere on the page.
Scene figure_of(const TraceJudgement& judgement, double width_mm, const FigureOptions& options,
                const Zone& zone, const FigureCaption& caption, bool stands_alone,
                const TextWidth& text_width);

} // namespace quaycell
