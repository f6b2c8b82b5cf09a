// The trace that a Week page looked at last: whoever zooms in looks at the same one again.
#pragma once

#include "judging/trace_source.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell::web {

/// One trace, and the part of it that was judged last. Used by one thread.
class WeekMemory {
  public:
    /// As load_and_judge() with the worst share that is usual, but what has been read is read again
    /// only after the archive has changed, and what has been judged is not judged again. Events and
    /// spells of a part are those of the whole that reach into it: what plugged-in shore power is
    /// in a week must not become a mere step, or nothing, when one looks closer. The answer stands
    /// until the next call.
    Result<const TraceJudgement*> judged(const TraceOptions& source, const BoatOptions& boat);

  private:
    /// What happened in the whole time.
    struct Happenings {
        std::vector<Event> events;
        std::vector<Spell> spells;
    };

    static Happenings happenings_of(const TraceJudgement& judgement);
    static void take_those_within(TraceJudgement& part, const Happenings& whole);
    Result<TraceJudgement> judge(const WindowOptions& window, const BoatOptions& boat) const;

    std::string read_from_;           ///< the archive in its state then, and the deployments
    SourcedTrace read_;               ///< whole
    std::optional<Happenings> whole_; ///< nothing: it has not been judged yet
    std::string window_;
    std::optional<TraceJudgement> judged_; ///< of the window; nothing where it was none
};

} // namespace quaycell::web
