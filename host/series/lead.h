// What the stimulus tells of cell and leads.
#pragma once

#include "series/trace.h"
#include "wire/messages.h"

namespace quaycell {

enum class LeadState {
    unknown, ///< nobody has looked yet
    good,
    drying,   ///< the source resistance is high: the cell dries out, or its diaphragm clogs
    not_good, ///< open lead, dry cell or the hull's clip off
};

std::string_view name_of(LeadState state); ///< "not good"

/// By the thresholds that the logger goes by itself. `code` is Reading::source_a or source_b.
LeadState lead_state(std::uint8_t code, const wire::Circuit& circuit);

/// Resistance of cell and lead, [ohm]; missing_value where nobody has looked, and where it cannot
/// be told from an open lead.
double source_ohm(std::uint8_t code, const wire::Circuit& circuit);

/// What is the matter with cell A, in words; empty for good and unknown. Cell B, where it is
/// fitted, tells the hull's clip from the rest.
std::string lead_words(std::uint8_t code_a, std::uint8_t code_b, const wire::Circuit& circuit);

} // namespace quaycell
