// The parts of a surveyor's report.
#pragma once

#include "report/surveyor_report.h"

namespace quaycell {

Section summary_section(const ReportFacts& facts); ///< of the trace, else of the survey
Section who_and_what_section(const ReportFacts& facts);
Section method_section(const ReportFacts& facts);
Section criteria_section(const ReportFacts& facts);
Section uncertainty_section(const ReportFacts& facts);
Section results_section(const ReportedTrace& trace, const Zone& zone);
Section events_section(const ReportedTrace& trace, const Zone& zone);
Section notes_section(const ReportFacts& facts);
Section opinion_section(const ReportFacts& facts);
Section evidence_section(const ReportFacts& facts);

/// Limits of a criterion, in words, and where it comes from.
std::string limits_of(const Criterion& criterion);
std::string source_of(const Criterion& criterion);

/// "−870 mV", to the place that its uncertainty allows; "not known" for what is not a number.
std::string millivolts(double mv, double expanded_uncertainty_mv);

/// The program's own words, in which a hyphen that begins a number becomes a minus sign.
std::string with_minus_signs(std::string_view words);

/// A remark as a sentence: with a capital and a full stop.
std::string as_sentence(std::string text);

} // namespace quaycell
