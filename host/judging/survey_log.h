// A survey that is being walked: what is added to it is in the archive first.
#pragma once

#include "judging/judged_survey.h"

namespace quaycell {

class SurveyLog {
  public:
    SurveyLog(Archive& archive, KeptSurvey& kept) : archive_(archive), kept_(kept) {}

    /// Gives the entry its number. `live_readings`: that it is made of.
    Result<Done> put(SurveyEntry& entry, std::vector<std::uint8_t> live_readings);
    Result<Done> put(const SurveyPoint& point);

    /// The last reading that nobody has struck; null where there is none.
    const SurveyEntry* last_reading() const;

    /// As it stands.
    Result<JudgedSurvey> judged(const BoatOptions& boat);

  private:
    Archive& archive_;
    KeptSurvey& kept_;
};

} // namespace quaycell
