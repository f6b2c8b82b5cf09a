// The files that go with a report: what they are called and what they are.
#pragma once

#include "evidence/manifest.h"

namespace quaycell {

inline constexpr const char* source_name = "source.csv";
inline constexpr const char* vessel_name = "vessel.toml";
inline constexpr const char* criteria_name = "criteria.toml";
inline constexpr const char* budget_name = "budget.toml";
inline constexpr const char* inspection_name = "inspection.toml";
inline constexpr const char* origin_name = "origin.json";
inline constexpr const char* survey_name = "survey.json";
inline constexpr const char* options_name = "options.json";
inline constexpr const char* trace_name = "trace.csv";
inline constexpr const char* judgement_name = "judgement.json";
inline constexpr const char* survey_judgement_name = "survey-judgement.json";
inline constexpr const char* anodes_name = "anodes.json";
inline constexpr const char* anodes_judgement_name = "anodes-judgement.json";
// Followed by the number of the archive's entry.
inline constexpr const char* records_name = "records-";
inline constexpr const char* imported_name = "imported-";

/// The file with its description and media type, which follow from its name.
Attachment described(std::string name, FileBytes bytes);

/// Whether a file that goes with a report may be called so, its list and signature included.
bool is_name_of_report(std::string_view name);

} // namespace quaycell
