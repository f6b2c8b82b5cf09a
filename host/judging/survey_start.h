// A survey begun, or found again to go on with.
#pragma once

#include "judging/boat.h"
#include "judging/kept_survey.h"

#include <string>
#include <vector>

namespace quaycell {

/// What is said of a survey before its first point. Texts may be empty but where it says so.
struct SurveyStart {
    BoatOptions boat;
    std::string multimeter;           ///< make and number; empty: a logger reads
    double input_resistance_mohm = 0; ///< of the multimeter; 0: not known
    std::string reference_instrument;
    std::string cell_travel;         ///< needed: "one-place" or "moved"
    std::string cell;                ///< its serial number; else that of the vessel file
    std::vector<std::string> points; ///< "rudder=stainless-austenitic", after the vessel file's
    std::string author;
};

/// Keeps the head of a new survey, and its points: those of the vessel file and of `start`, the
/// bonding itself first where none of them is it. `logger`: that reads it. Errors besides those of
/// the archive and the vessel file: wrong_usage, with the option that lacks or errs.
Result<KeptSurvey> begin_survey(const SurveyStart& start, const std::optional<LoggerFacts>& logger,
                                Archive& archive, const std::string& archive_file);

/// The unfinished survey of that number; of 0 the newest. What is said again has to be what it was
/// begun with; `logger_named` says that a logger is to read it. Errors: not_found, refused.
Result<KeptSurvey> survey_to_resume(std::int64_t number, const SurveyStart& said, bool logger_named,
                                    Archive& archive, const std::string& archive_file);

/// What is known of the logger that reads, into the archive.
Result<Done> keep_logger(Archive& archive, const wire::HelloReply& hello, const LoggerFacts& facts);

/// An error (refused) unless this logger is the one that the survey was begun with.
std::optional<Error> other_logger(const KeptSurvey& kept, std::uint32_t device,
                                  const std::string& archive_file);

} // namespace quaycell
