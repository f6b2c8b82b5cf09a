// A judgement in words and as JSON, for judge and its kin.
#pragma once

#include "judging/boat.h"
#include "judging/trace_source.h"
#include "protection/judge.h"

#include <boost/json/fwd.hpp>
#include <string>

namespace quaycell {

/// The keys that every judgement has. `reasons` come before those of the judgement.
boost::json::object judgement_json(const Judgement& judgement, const Boat& boat,
                                   const std::vector<std::string>& reasons);

/// The same of a trace, with the keys that it adds.
boost::json::object trace_judgement_json(const TraceJudgement& judgement);

/// One line a criterion, then reasons and advice.
std::string criteria_text(const Judgement& judgement, const Boat& boat,
                          const std::vector<std::string>& reasons);

/// The same of a trace's usual reading, with the trace's own reasons and advice.
std::string criteria_text(const TraceJudgement& judgement);

/// Verdict and time shares, statistics, spells that matter and events of a trace.
std::string trace_text(const TraceJudgement& judgement);

/// What was assumed, and the cautions that belong to the verdict: for standard error.
std::string footing_text(const Judgement& judgement, const Boat& boat);
std::string footing_text(const TraceJudgement& judgement);

} // namespace quaycell
