// The archive: one SQLite file with the records of any number of loggers as they were collected,
// and who and what belongs to them. Records are never changed or removed; decoding happens on
// reading.
//
// Errors of every call: damaged, in_use (another program writes), no_permission, failed (disk
// full).
#pragma once

#include "archive/anode_rows.h"
#include "archive/record_visitor.h"
#include "archive/sqlite.h"
#include "archive/survey_rows.h"
#include "archive/whole_records.h"
#include "base/record_bytes.h"
#include "base/time.h"
#include "wire/messages.h"

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace quaycell {

enum class OpenMode {
    read,         ///< the file must exist and stays as it is; what others add meanwhile is not seen
    write_create, ///< the file is made when it does not exist
};

struct AddCounts {
    std::uint64_t added = 0;
    std::uint64_t already_held = 0;
    std::uint64_t bad = 0; ///< wrong checksum or another record's number; not stored. Void slots
                           ///< are passed over
};

/// Why there is no good record under a number.
/// Where the logger's memory is worn: nothing is lost there.
struct PassedOver {
    std::vector<SequenceRange> numbers; ///< but for those that it has spent
    std::uint32_t sectors = 0;
};

enum class BadHow {
    torn,        ///< the logger's memory holds no whole record there
    overwritten, ///< the ring was faster than the collection
    spent,       ///< on purpose, on a slot without a record: nothing is lost
};

struct DeviceSummary {
    std::uint32_t device;
    std::uint64_t record_count;
    std::optional<Instant> last_collected; ///< nothing before a collection was finished
};

/// The records of one restart of a logger: its oldest and newest number.
struct BootExtent {
    std::uint16_t boot;
    std::uint32_t first;
    std::uint32_t last;
};

/// What is known of a logger, at its newest.
struct LoggerRow {
    std::uint32_t device;
    Instant first_seen; ///< with this firmware and circuit
    std::uint16_t firmware_version;
    std::uint32_t firmware_build;
    wire::Circuit circuit;
    std::optional<wire::Calibration> calibration;
};

struct Collection {
    Instant at;
    std::uint32_t device;
    std::uint32_t first_sequence; ///< the logger's tail
    std::uint32_t next_sequence;  ///< the first that did not exist yet
    std::uint64_t added;
    std::uint64_t bad;
    std::string host_version;
};

/// What a number that the user calls a deployment or an imported trace by stands for.
struct EntryKey {
    bool imported = false;
    std::int64_t whose = 0;           ///< device, or id of the imported trace
    std::uint16_t boot = 0;           ///< of a deployment's first record
    std::uint32_t first_sequence = 0; ///< likewise
    bool operator==(const EntryKey&) const = default;
};

struct NumberedEntry {
    std::uint32_t number;
    EntryKey key;
};

struct Note {
    std::uint32_t device; ///< 0 when it is about no logger
    Instant at;           ///< what it is about
    std::string text;
    std::string author;
    Instant written_at;
};

/// Which readings a correction is about: from `first` to `last_sequence`, both included, of the
/// deployment or imported trace that holds `first`. An imported trace's rows count from 0.
struct CorrectedPart {
    EntryKey first; ///< the first record; the boot may be that of an earlier one of the deployment
    std::uint32_t last_sequence;
    bool from_start; ///< no matter what `first` says: from the beginning
    bool to_end;     ///< likewise to the end, what is collected later included
    bool operator==(const CorrectedPart&) const = default;
};

/// What somebody says was wrong. Kinds and their values are those of series/corrections.h; besides,
/// a withdrawal, whose value is the number of the correction that no longer counts.
struct CorrectionRow {
    std::int64_t number = 0; ///< given by the archive, from 1 on
    CorrectedPart part;
    std::string kind;
    std::string value;
    Instant from; ///< of the first and the last reading, as they were shown when this was written
    Instant to;
    std::string why;
    std::string author;
    Instant written_at;
};
inline constexpr const char* withdrawal = "withdrawal";

/// What comparing a reference cell has found.
struct CellCheckRow {
    std::string cell; ///< its serial number; empty where nobody gave one
    Instant at;
    std::string against; ///< "cell" or "zinc"
    double difference_mv;
    std::string finding; ///< "good", "doubtful", "rejected"
    std::string author;
    Instant written_at;
};

/// A trace that came from elsewhere, as trace CSV.
struct ImportedTrace {
    std::int64_t id;
    std::string name;
    Instant from; ///< its first reading
    std::uint64_t readings;
};

class KnownNumbers;

class Archive {
  public:
    /// Errors: not_found (the file in mode read, the folder always), wrong_input (a foreign file),
    /// wrong_version (a newer schema), in_use, and those above. A file that is only to be read and
    /// has an older schema, or is damaged, is read into memory as far as it goes; losses() says
    /// what is missing of a damaged one.
    /// A visitor, to read only, is shown all records on the way: they are gone through to be
    /// checked anyway.
    static Result<Archive> open(const std::filesystem::path& path, OpenMode mode,
                                RecordVisitor* visitor = nullptr);

    /// What could not be read of a damaged file, in words; empty when it is sound.
    const std::vector<std::string>& losses() const { return losses_; }

    /// Adds what is good and not held yet, all of it or (on an error) nothing; it is on the disk
    /// when this returns. Error besides those above: refused, when the number of a record is held
    /// with other content: it is then another logger's, or the logger has begun all over.
    Result<AddCounts> add(std::uint32_t device, std::span<const SequencedRecord> records);

    Result<Done> put_logger(const wire::HelloReply& hello, const wire::Circuit& circuit,
                            Instant seen);
    Result<Done> put_calibration(std::uint32_t device, const wire::Calibration& calibration,
                                 Instant seen);
    Result<Done> put_collection(const Collection& collection);

    /// To be told before a collection begins: what the logger holds, from its tail to before
    /// `next`.
    Result<Done> put_collection_begun(std::uint32_t device, std::uint32_t tail, std::uint32_t next,
                                      Instant at);

    /// How many records the newest collection of a logger did not bring, because it broke off.
    Result<std::uint64_t> left_behind(std::uint32_t device);

    /// Gives each of these a number, in this order, unless it has one. Numbers are never used
    /// again.
    Result<Done> number_entries(std::span<const EntryKey> keys);

    /// By number.
    Result<std::vector<NumberedEntry>> numbered_entries();

    Result<Done> put_note(const Note& note);

    Result<Done> put_cell_check(const CellCheckRow& check);

    /// In order of time.
    Result<std::vector<CellCheckRow>> cell_checks();

    /// It is on the disk when this returns; its number.
    Result<std::int64_t> put_anode_entry(const AnodeEntryRow& entry);
    /// By number.
    Result<std::vector<AnodeEntryRow>> anode_entries();

    /// Keeps the beginning of a survey with its points; its number.
    Result<std::int64_t> put_survey(const SurveyRow& survey,
                                    std::span<const SurveyPointRow> points);
    Result<Done> put_survey_point(std::int64_t survey, const SurveyPointRow& point);

    /// It is on the disk when this returns; its number.
    Result<std::int64_t> put_survey_entry(std::int64_t survey, const SurveyEntryRow& entry);

    /// By number.
    Result<std::vector<SurveyRow>> surveys();
    /// Each in the order in which they were put.
    Result<std::vector<SurveyPointRow>> survey_points(std::int64_t survey);
    Result<std::vector<SurveyEntryRow>> survey_entries(std::int64_t survey);

    /// Keeps a correction under the next number. `known` is the highest number that whoever decided
    /// on it knew of, else 0. Error besides those above: in_use, when there is a higher one by now.
    Result<Done> put_correction(const CorrectionRow& correction, std::int64_t known);

    /// By number; withdrawals, and what they withdraw, too.
    Result<std::vector<CorrectionRow>> corrections();

    /// Every logger of which there is something, by number.
    Result<std::vector<DeviceSummary>> devices();

    /// All records of a logger that are still whole, by boot and sequence.
    Result<std::vector<RecordBytes>> records(std::uint32_t device);

    /// The same of any number: `visit` is given the bytes of some, one behind another, then of the
    /// next.
    Result<Done> for_each_records(std::uint32_t device, const VisitRecords& visit);

    /// All records of all loggers.
    Result<Done> show_all(RecordVisitor& visitor);

    /// The record of that number from the newest boot that has it.
    Result<std::optional<RecordBytes>> record(std::uint32_t device, std::uint32_t sequence);

    /// The newest record's number; nothing when no record is held.
    Result<std::optional<std::uint32_t>> highest_sequence(std::uint32_t device);

    /// What is held of a logger, restart by restart.
    Result<std::vector<BootExtent>> boots(std::uint32_t device);

    /// By the newest of its records that states a time, and by the logger's clock.
    Result<std::optional<Instant>> last_stated_time(std::uint32_t device);

    /// Remembers numbers under which the logger has no good record. Those that are held, or known
    /// already, are passed over. boot: the logger's, when it was found out.
    Result<Done> put_known_bad(std::uint32_t device, std::uint16_t boot, SequenceRange numbers,
                               BadHow how, Instant found_at);

    /// What is lost: known bad, not spent on purpose, passed over or held after all, of the numbers
    /// from `tail` to before `next`, in order.
    Result<std::vector<SequenceRange>> known_bad(std::uint32_t device, std::uint32_t tail,
                                                 std::uint32_t next);

    /// What the logger has passed over because its sector is worn, likewise.
    Result<PassedOver> passed_over(std::uint32_t device, std::uint32_t tail, std::uint32_t next);

    /// What the logger has spent on slots without a record or passed over, likewise.
    Result<std::vector<SequenceRange>> spent(std::uint32_t device, std::uint32_t tail,
                                             std::uint32_t next);

    /// What is neither held nor known bad of the numbers from `tail` to before `next`, in order:
    /// what to ask the logger for. Records of an earlier numbering, which a newer boot has passed,
    /// do not count as held.
    Result<std::vector<SequenceRange>> missing(std::uint32_t device, std::uint32_t tail,
                                               std::uint32_t next);

    /// With the calibration that was the newest at `at`; else the first there is. Firmware and
    /// circuit are those of `build`; where it is none, or unknown, those that had been seen last
    /// at `at`, else the first. Error besides those above: not_found.
    Result<LoggerRow> logger(std::uint32_t device, Instant at = Instant::max(),
                             std::optional<std::uint32_t> build = {});

    /// The firmware's build that the logger's restart `boot` has told; none where the record that
    /// told it is not held.
    Result<std::optional<std::uint32_t>> firmware_build(std::uint32_t device, std::uint16_t boot);

    /// By the time they are about.
    Result<std::vector<Note>> notes(std::uint32_t device);

    /// All of them, by the time they are about.
    Result<std::vector<Note>> notes();

    /// Keeps a trace CSV; false when the very same is held already.
    Result<bool> put_imported(const std::string& name, Instant from, std::uint64_t readings,
                              const std::string& csv, Instant imported_at);

    /// In the order they were imported.
    Result<std::vector<ImportedTrace>> imported();

    /// The trace CSV of that id. Error besides those above: not_found.
    Result<std::string> imported_csv(std::int64_t id);

  private:
    Archive(sqlite::Database database, std::string path)
        : database_(std::move(database)), path_(std::move(path)) {}

    Result<bool> put_csv(const std::string& name, Instant from, std::uint64_t readings,
                         const std::string& csv, Instant imported_at);
    Result<std::optional<wire::Calibration>> calibration(std::uint32_t device, Instant at);
    Result<std::vector<Note>> notes_of(sqlite::Statement rows);
    Result<PassedOver> passed_over(const KnownNumbers& known, std::uint32_t device,
                                   std::uint32_t tail, std::uint32_t next);
    static Result<Archive> open_damaged(const std::filesystem::path& path);
    Result<Done> tell_lost_records();

    sqlite::Database database_;
    std::string path_;
    std::vector<std::string> losses_;
};

} // namespace quaycell
