// What to do about a trace, and what to beware of.
#pragma once

#include "diagnosis/advice.h"
#include "series/judged.h"

namespace quaycell {

/// As advice_for() the judgement of its usual reading. Where the leads of hull and cell were
/// swapped, to put them right comes first; and where no reading is left that shows the hull, it is
/// all that is said, because nothing else is known.
std::vector<std::string> trace_advice(const JudgedTrace& judged, const Judgement& judgement,
                                      Hull hull, const std::vector<std::string>& metals,
                                      const Water& water);

/// As cautions_for() the judgement of its usual reading; first of all what the AC asks for.
std::vector<std::string> trace_cautions(const JudgedTrace& judged, const Judgement& judgement,
                                        Hull hull, const std::vector<std::string>& metals,
                                        const Water& water);

} // namespace quaycell
