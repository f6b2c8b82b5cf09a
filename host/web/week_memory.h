// The trace that a Week page looked at last: whoever zooms in looks at the same one again.
#pragma once

#include "judging/trace_source.h"

#include <optional>
#include <string>

namespace quaycell::web {

/// One trace, and the part of it that was judged last. Used by one thread.
class WeekMemory {
  public:
    /// As load_and_judge() with the worst share that is usual, but what has been read is read again
    /// only after the archive has changed, and what has been judged is not judged again. The answer
    /// stands until the next call.
    Result<const TraceJudgement*> judged(const TraceOptions& source, const BoatOptions& boat);

  private:
    std::string read_from_; ///< the archive in its state then, and the deployments
    SourcedTrace read_;     ///< whole
    std::string window_;
    std::optional<TraceJudgement> judged_; ///< of the window; nothing where it was none
};

} // namespace quaycell::web
