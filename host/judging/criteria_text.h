// Criteria in words and as JSON.
#pragma once

#include "protection/criterion.h"
#include "protection/disagreement.h"

#include <boost/json/fwd.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// A row as a user's file has it.
inline constexpr std::string_view own_criterion_example = R"(  [[criterion]]
  id = "yard_steel"
  subject = "steel"            # a hull or a metal
  kind = "absolute"            # absolute, shift, target or limit
  protected_from_mv = -870
  over_at_mv = -1050
  scale = "agcl/seawater"
  salinity_min_psu = 5
  salinity_max_psu = 42
  oxygen = "any"               # aerobic, anaerobic or any
  source = "the yard's paint supplier"
  status = "read"
  rule_set = "yard"
)";

/// "protected from -550 to -600 mV on agcl/seawater"
std::string band_text(const Criterion& criterion);

/// "ABYC E-2, range table; from memory"
std::string source_text(const Criterion& criterion);

/// Every column of a row; null where it has none.
boost::json::object criterion_json(const Criterion& criterion);

/// A block for each rule set, a line or two for each row.
std::string criteria_table_text(const std::vector<Criterion>& criteria);

double limit_of(const Criterion& criterion, bool negative_end);
std::string_view end_name(const Disagreement& disagreement); ///< a key of the row
std::string disagreements_text(const std::vector<Disagreement>& disagreements);

} // namespace quaycell
