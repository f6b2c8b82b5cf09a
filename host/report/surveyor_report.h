// What a surveyor's report of a trace, of a survey or of both says, in its order.
#pragma once

#include "base/zone.h"
#include "chart/scene.h"
#include "diagnosis/trace_causes.h"
#include "electrode/budget.h"
#include "evidence/manifest.h"
#include "report/anodes_part.h"
#include "report/document.h"
#include "report/inspection.h"
#include "report/survey_part.h"
#include "series/judged.h"

#include <span>

namespace quaycell {

/// What somebody noted, of a time.
struct NotedFact {
    Instant at;
    std::string text;
    std::string author;
    Instant written_at;
};

/// What is referred to outlives the call only.
struct ReportedTrace {
    const Readings& trace;
    const JudgedTrace& judged;
    const Judgement& explained;
    std::vector<std::string> corrections;
    std::vector<std::string> remarks; ///< why the verdict is what it is, what was left out
    std::vector<std::string> advice;
    std::vector<TraceCause> causes;
    double worst_share; ///< fraction
    Scene chart;
    std::string chart_caption; ///< without what its numbers are
};

/// All that the report is made of. What is referred to outlives the call only.
struct ReportFacts {
    const Inspection& inspection;
    std::string boat_name; ///< empty: not stated
    std::vector<Entry> boat;
    std::string afloat_since; ///< as the vessel file has it; empty: it does not say
    std::string anode_log;    ///< how much of one goes with the report, or that none does
    std::vector<Entry> water;
    std::vector<Entry> instrument;
    std::vector<Entry> cell;
    std::vector<std::string> cell_checks; ///< of the trace, and of the survey
    std::vector<NotedFact> notes;         ///< about the time of the readings
    std::size_t other_notes;              ///< that go with the report, about other times
    std::vector<std::string> cautions;
    const Budget& budget; ///< of one reading
    const Zone& zone;     ///< whose clocks its times are shown by
    Scene budget_chart;
    std::span<const Attachment> attachments; ///< that go with the report
    std::string manifest; ///< of the attachments: hashing them takes longer than drawing
    std::string signer;   ///< fingerprint of the key that signs them; empty: nobody does
    /// What the report's file says of when it was made: "the date of the report".
    std::string dated_by;
    const ReportedTrace* trace = nullptr;   ///< null: there is none
    const ReportedSurvey* survey = nullptr; ///< likewise; one of the two there is
    const ReportedAnodes* anodes = nullptr; ///< null: no log of them goes with the report
    std::string left_out = {}; ///< of what might be looked for among the files; empty: nothing
};

/// Facts first, opinion after them and marked as such. What is not known is named.
Document surveyor_report(const ReportFacts& facts);

} // namespace quaycell
