// A trace out of an archive, as corrected.
#pragma once

#include "judging/entry_corrections.h"
#include "series/readings.h"

#include <string_view>

namespace quaycell {

/// A trace, and what its reader has to know beside it: what is lost, was left in the logger, or was
/// corrected.
struct SourcedTrace {
    Readings trace;
    std::vector<std::string> remarks;
    std::vector<KnownCorrection> corrections; ///< those that were applied
    std::vector<CellCheckRow> cell_checks;    ///< of any cell, at any time
};

/// The text of an import as a trace, whose rows corrections can count.
Result<Readings> imported_trace(std::string_view text, std::string_view origin);

/// What the records of a logger's entry tell, and who was given them.
struct RecordedEntry {
    std::shared_ptr<const Recording> recording;
    std::shared_ptr<BytesTaker> taker; ///< none where nobody asked for them
};
/// The records are read once more only where they have not been yet, or not been given to whom
/// `make_taker` makes.
Result<RecordedEntry> recording_of(Archive& archive, const ArchiveEntry& entry,
                                   const MakeBytesTaker& make_taker);

/// The logger of an entry. A board that was compared anew after this deployment was another one
/// while it lasted.
Result<LoggerRow> logger_of(Archive& archive, const ArchiveEntry& entry);

/// What it has spent meanwhile, see Archive::spent().
Result<std::vector<SequenceRange>> spent_in(Archive& archive, const ArchiveEntry& entry);

/// An entry as it was recorded or imported.
Result<Readings> recorded_trace(Archive& archive, const ArchiveEntry& entry);

/// The same of all that is known of an archive. Its readings are gone through only where times were
/// ever moved.
Result<Done> tell_by_present_clock(Archive& archive, const std::vector<ArchiveEntry>& entries,
                                   std::vector<KnownCorrection>& known);

enum class ReadAs { corrected, recorded };

/// An entry as it was recorded, and the corrections that stand of it.
struct TraceEntry {
    std::uint32_t number;
    std::string origin; ///< as ArchiveEntry::origin
    Readings recorded;
    std::vector<KnownCorrection> standing;
};

/// The entries, each as corrected by itself, as one trace. `about` brings what is true of all of
/// them; `archive_file` gives the trace its name.
Result<SourcedTrace> assembled(std::vector<TraceEntry> entries, SourcedTrace about,
                               const std::string& archive_file, ReadAs as);

/// The entries that are wanted, what corrects them, and what is true of them all.
struct ChosenEntries {
    std::vector<ArchiveEntry> entries;  ///< as chosen_entries() finds them
    std::vector<KnownCorrection> known; ///< of the whole archive
    SourcedTrace about;                 ///< without a trace: remarks, cell checks
};
Result<ChosenEntries> choose(ReadArchive& read, const std::string& archive_file,
                             const Wanted& wanted);

/// The trace of the entries that chosen_entries() finds, each by its own logger's calibration and
/// as corrected by itself, joined where there are several.
Result<SourcedTrace> trace_of(ReadArchive& read, const std::string& archive_file,
                              const Wanted& wanted, ReadAs as);

} // namespace quaycell
