// What a boat, its water and its cell are to a report: names and values.
#pragma once

#include "cli/boat.h"
#include "report/document.h"

namespace quaycell {

std::vector<Entry> boat_facts(const Boat& boat);
std::vector<Entry> water_facts(const Water& water);
std::vector<Entry> cell_facts(const Boat& boat);

} // namespace quaycell
