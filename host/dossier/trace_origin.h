// What a trace was read from, so that it can be read again without the archive: the bytes of its
// readings, and all that decoding and correcting them takes.
#pragma once

#include "dossier/file_taker.h"
#include "evidence/manifest.h"
#include "judging/archive_trace.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace quaycell {

struct ReadArchive;
struct TraceOptions;

/// One deployment or imported trace of an archive, or a trace CSV.
struct OriginPart {
    std::uint32_t number = 0;               ///< in the archive
    std::string origin;                     ///< as ArchiveEntry::origin
    std::string file;                       ///< what holds its bytes
    std::optional<LoggerRow> logger;        ///< whose records these are; nothing: a trace CSV
    std::vector<SequenceRange> spent;       ///< see Archive::spent()
    std::vector<CorrectionRow> corrections; ///< those that stand
};

struct TraceOrigin {
    std::string name; ///< of the file that was read, without its folder
    bool is_archive = false;
    ReadAs read_as = ReadAs::corrected;
    std::vector<OriginPart> parts;
    std::vector<CellCheckRow> cell_checks;
    std::vector<std::string> remarks; ///< on the archive as a whole
    /// What people noted of these loggers, or of none, whatever time it is about.
    std::vector<Note> notes;
};

/// A file that an origin's part names, as it was read.
struct TakenFile {
    std::string name;
    std::shared_ptr<FileTaker> taker;
};

/// What was read in one go.
struct GatheredTrace {
    TraceOrigin origin;
    std::vector<TakenFile> files; ///< in the order of the parts
    SourcedTrace whole;           ///< as trace_from() reads it of them
};

/// Reads what the options name, whatever part of the time they ask for; exactly one source has to
/// be given. `takers`: as file_takers() makes them.
Result<GatheredTrace> gather_trace(const TraceOptions& options, const MakeFileTaker& takers);

/// The same out of an archive that is open, which the options name. It was read with the same
/// `takers`, or with none.
Result<GatheredTrace> gather_trace(ReadArchive& read, const TraceOptions& options,
                                   const MakeFileTaker& takers);

/// An origin without readings: what an archive knows besides them that a survey by that logger (0:
/// a multimeter) may need.
Result<TraceOrigin> origin_of_survey(Archive& archive, std::uint32_t device,
                                     const std::string& archive_file);

/// What reading a deployment or imported trace of the archive takes, besides its bytes. `known`:
/// the corrections of the whole archive.
Result<OriginPart> facts_of_entry(Archive& archive, const ArchiveEntry& entry,
                                  const std::vector<KnownCorrection>& known);

/// The whole trace. Error besides those of reading a trace: damaged, when a file is missing or no
/// such record was ever written.
Result<SourcedTrace> trace_from(const TraceOrigin& origin, std::span<const Attachment> files);

/// As a JSON document, and back. Error (wrong_input): another document.
std::string origin_document(const TraceOrigin& origin);
Result<TraceOrigin> parse_origin(std::string_view document);

} // namespace quaycell
