#include "report/report_parts.h"

#include <fmt/format.h>

namespace quaycell {

Section notes_section(const ReportFacts& facts) {
    Section section{"Notes", {}};
    // As people wrote it.
    Table table{"What people noted on the spot or later; nobody checked it against the readings",
                {{"About", 0.25}, {"Note", 0.47}, {"Who, and when it was written", 0.28}},
                {}};
    for (const NotedFact& note : facts.notes)
        table.rows.push_back(
            {to_words(note.at, facts.zone), note.text,
             fmt::format("{}, {}", note.author, to_words(note.written_at, facts.zone))});
    if (!table.rows.empty()) section.blocks.emplace_back(std::move(table));
    if (facts.other_notes != 0)
        section.blocks.emplace_back(Paragraph{fmt::format(
            "{} note{} about other times go{} with this report, in the file that tells how the "
            "readings are to be read.",
            facts.other_notes, facts.other_notes == 1 ? "" : "s",
            facts.other_notes == 1 ? "es" : "")});
    return section;
}

} // namespace quaycell
