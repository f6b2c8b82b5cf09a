// What a report says of the anodes.
#pragma once

#include "chart/scene.h"
#include "diagnosis/anode_plan.h"
#include "report/document.h"

namespace quaycell {

/// An entry of the log in words, as somebody made it.
struct AnodeLogFact {
    std::string day;
    std::string place;
    std::string what; ///< "fitted: aluminium, 2.3 kg"
    std::string who;  ///< and when it was written
};

/// What is referred to outlives the call only.
struct ReportedAnodes {
    const AnodePlan& plan;
    std::vector<AnodeLogFact> log; ///< of the anodes that are fitted
    std::size_t other_entries;     ///< that go with the report, on anodes that are gone
    Instant as_of;                 ///< the day of the shares that are left
    std::string as_of_by;          ///< "the date of the report"
    std::vector<Scene> charts;
    std::size_t not_drawn; ///< of anodes that were weighed
};

/// What was weighed, and what follows from that by a line; what is thought of it stands elsewhere.
Section anodes_section(const ReportedAnodes& anodes);

/// What wear and potential say together, and what to buy and to look at.
void add_anode_opinion(const ReportedAnodes& anodes, Section& section);

} // namespace quaycell
