// A survey as the archive keeps it: words and numbers, whose meaning is survey/survey.h's.
#pragma once

#include "base/time.h"

#include <cstdint>
#include <string>
#include <vector>

namespace quaycell {

struct SurveyPointRow {
    std::string name;
    std::string role;
    std::string metal;
    std::string side;     ///< empty: nobody said where it is
    double forward_share; ///< 0 at the stern, 1 at the bow
};

/// What is known when a survey begins.
struct SurveyRow {
    std::int64_t number = 0; ///< given by the archive, from 1 on
    Instant begun_at;
    std::string boat;
    std::string author;
    std::uint32_t device = 0; ///< the logger that reads; 0: readings are typed in
    std::string instrument;
    double input_resistance_mohm = 0; ///< 0: nobody said
    std::string reference_instrument; ///< may be empty
    std::string cell_scale;
    std::string cell_serial; ///< may be empty
    std::string cell_travel;
    std::string criterion; ///< by which a reading counts as settled, in words
};

/// What was written down at one instant.
struct SurveyEntryRow {
    std::int64_t number = 0; ///< given by the archive
    Instant at;
    std::string kind;
    std::string point;
    std::string shore;
    std::string anodes;
    double potential_mv = 0;
    double spread_mv = 0;
    bool settled = false;
    double ac_mv = -1; ///< negative: not measured
    std::int64_t about = 0;
    std::string text;
    /// wire::LiveReading one after another, verbatim, that the reading was made of; may be empty.
    std::vector<std::uint8_t> live_readings;
};

} // namespace quaycell
