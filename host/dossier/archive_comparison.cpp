#include "dossier/archive_comparison.h"

#include "chart/text.h"
#include "dossier/anode_comparison.h"
#include "dossier/record_comparison.h"
#include "dossier/report_files.h"
#include "dossier/survey_comparison.h"
#include "dossier/trace_origin.h"
#include "judging/anode_document.h"
#include "judging/archive_contents.h"
#include "judging/boat.h"
#include "judging/survey_document.h"
#include "wire/record.h"

#include <algorithm>
#include <boost/json.hpp>
#include <fmt/format.h>
#include <limits>

namespace quaycell {

namespace {

namespace json = boost::json;

EvidenceFinding finding(const std::string& what, const std::string& difference,
                        std::string agreement) {
    const std::string name = what + ", archive";
    if (!difference.empty()) return {name, Agreement::differs, clean_text(difference)};
    return {name, Agreement::agrees, std::move(agreement)};
}

/// Rows as an origin's document has them, so that all of their fields are compared.
json::value document_of(const TraceOrigin& origin) {
    return json::parse(origin_document(origin));
}

std::string plural(std::size_t count, const std::string& what) {
    return fmt::format("{} {}{}", count, what, count == 1 ? "" : "s");
}

/// That all of the rows are in the archive as they are here. Rows are only added: one that the
/// report lacks and that was written before one that it has was left out. Others may have come
/// later, and are told.
EvidenceFinding compared_rows(const std::string& what, const json::array& stated,
                              const json::array& held) {
    std::int64_t last_written_ms = std::numeric_limits<std::int64_t>::min();
    for (const json::value& row : stated) {
        if (std::ranges::find(held, row) == held.end())
            return finding(what, "not in the archive as it is here: " + json::serialize(row), "");
        last_written_ms =
            std::max(last_written_ms, row.at("written_at_ms").to_number<std::int64_t>());
    }
    std::string words = fmt::format("the archive holds all {}", stated.size());
    bool is_first = true;
    for (const json::value& row : held) {
        if (std::ranges::find(stated, row) != stated.end()) continue;
        if (row.at("written_at_ms").to_number<std::int64_t>() < last_written_ms)
            return finding(what, "the report leaves out " + json::serialize(row), "");
        if (is_first)
            words += fmt::format(", and {} that the report does not, the first {}",
                                 held.size() - stated.size(), json::serialize(row));
        is_first = false;
    }
    return finding(what, "", clean_text(words));
}

class Comparison {
  public:
    Comparison(std::span<const Attachment> attachments, ReadArchive& read)
        : attachments_(attachments), read_(read) {}

    Result<std::vector<EvidenceFinding>> run() && {
        const Attachment* const file = named(attachments_, origin_name);
        const auto origin = file == nullptr
                                ? Error{ErrorCode::damaged, "it is missing", origin_name, ""}
                                : parse_origin(file->bytes.at_hand());
        if (!origin) {
            found_.push_back({origin_name + std::string(", archive"), Agreement::differs,
                              clean_text(to_text(origin.error()))});
            return std::move(found_);
        }
        if (!origin->is_archive) {
            found_.push_back({"records", Agreement::not_compared,
                              "the report carries no logger's records, only readings from a file"});
            return std::move(found_);
        }
        for (const OriginPart& part : origin->parts)
            if (auto error = compare(part)) return *error;
        if (auto error = compare_rows(*origin)) return *error;
        compare_survey();
        if (auto error = compare_anodes()) return *error;
        return std::move(found_);
    }

  private:
    std::optional<Error> compare(const OriginPart& part) {
        const Attachment* const file = named(attachments_, part.file);
        if (file == nullptr) {
            found_.push_back(finding(part.file, "it is missing from the report", ""));
            return std::nullopt;
        }
        auto entry = part.logger ? compare_records(part, *file) : compare_imported(part, *file);
        if (!entry) return entry.error();
        return *entry ? compare_facts(part, **entry) : std::nullopt;
    }

    /// The archive's entry of the same readings, where it has one.
    using Found = std::optional<ArchiveEntry>;

    Result<Found> compare_records(const OriginPart& part, const Attachment& file) {
        BytesReader reader(file.bytes);
        const auto first = reader.next(wire::record_size);
        if (!first) return first.error();
        if (first->size() < wire::record_size || file.bytes.size() % wire::record_size != 0) {
            found_.push_back(finding(part.file, "these are not whole records", ""));
            return Found{};
        }
        const auto head = wire::from_bytes<wire::RecordHead>(
            reinterpret_cast<const std::uint8_t*>(first->data()));
        RecordComparison comparison(file.bytes);
        const auto seen = read_.archive.for_each_records(
            part.logger->device, [&](std::span<const std::uint8_t> held) { comparison.see(held); });
        if (!seen) return seen.error();
        const auto difference = std::move(comparison).difference();
        if (!difference) return difference.error();
        const std::uint64_t count = file.bytes.size() / wire::record_size;
        const auto entry = std::ranges::find(
            read_.entries, EntryKey{false, part.logger->device, head.boot, head.sequence},
            &ArchiveEntry::key);
        const bool is_there = entry != read_.entries.end();
        std::string words = fmt::format("the archive holds all {} records", count);
        if (is_there && entry->deployment.count > count)
            words += fmt::format(", and {} later ones", entry->deployment.count - count);
        found_.push_back(finding(part.file, *difference, words));
        if (is_there) return Found{*entry};
        found_.push_back(finding(fmt::format("logger of {}", part.file),
                                 fmt::format("no deployment of the archive begins with record {} "
                                             "of restart {}, as here: circuit, calibration and "
                                             "corrections stand alone",
                                             head.sequence, head.boot),
                                 ""));
        return Found{};
    }

    Result<Found> compare_imported(const OriginPart& part, const Attachment& file) {
        const auto stated = file.bytes.whole();
        if (!stated) return stated.error();
        std::string difference = "the archive holds no such imported trace";
        Found found;
        for (const ArchiveEntry& entry : read_.entries) {
            if (entry.device) continue;
            const auto text = read_.archive.imported_csv(entry.key.whose);
            if (!text) return text.error();
            if (*text == **stated) {
                difference.clear();
                found = entry;
                break;
            }
            if (entry.number == part.number)
                difference = fmt::format("the archive's trace {} is another from line {} on",
                                         entry.number, line_of_difference(*text, **stated));
        }
        found_.push_back(
            finding(part.file, difference, "the archive holds the same, byte for byte"));
        return found;
    }

    static std::size_t line_of_difference(const std::string& one, const std::string& other) {
        const auto place = std::ranges::mismatch(one, other).in1;
        return 1 + static_cast<std::size_t>(std::count(one.begin(), place, '\n'));
    }

    /// What reading it takes: logger, numbers spent, corrections.
    std::optional<Error> compare_facts(const OriginPart& part, const ArchiveEntry& entry) {
        const auto known = known_corrections(read_.archive, read_.entries);
        if (!known) return known.error();
        const auto held = facts_of_entry(read_.archive, entry, *known);
        if (!held) return held.error();
        TraceOrigin both;
        both.parts = {part, *held};
        const json::value rows = document_of(both).at("parts");
        const json::value &stated = rows.at(0), &ours = rows.at(1);
        if (part.logger) {
            std::string difference;
            for (const char* key : {"circuit_hex", "calibration_hex"})
                if (stated.at("logger").at(key) != ours.at("logger").at(key))
                    difference = fmt::format(
                        "{} of logger {:08x} is another in the archive",
                        std::string_view(key) == "circuit_hex" ? "the circuit" : "the calibration",
                        part.logger->device);
            if (difference.empty()) difference = difference_of_spent(part.spent, held->spent);
            found_.push_back(finding(fmt::format("logger of {}", part.file), difference,
                                     "circuit, calibration and numbers spent are the same"));
        }
        found_.push_back(finding(
            fmt::format("corrections of {}", part.file),
            difference_of_corrections(stated.at("corrections").as_array(),
                                      ours.at("corrections").as_array()),
            fmt::format("{} of it, as here", plural(part.corrections.size(), "correction"))));
        return std::nullopt;
    }

    static std::string difference_of_spent(const std::vector<SequenceRange>& stated,
                                           const std::vector<SequenceRange>& held) {
        for (const SequenceRange& range : stated)
            if (std::ranges::none_of(held, [&](const SequenceRange& each) {
                    return range.first - each.first <= each.count &&
                           range.first - each.first + range.count <= each.count;
                }))
                return fmt::format("that the logger has spent number {} is not in the archive",
                                   range.first);
        return "";
    }

    static std::string difference_of_corrections(const json::array& stated,
                                                 const json::array& held) {
        for (const json::value& row : stated)
            if (std::ranges::find(held, row) == held.end())
                return fmt::format("correction {} does not stand in the archive as it does here",
                                   json::serialize(row.at("number")));
        for (const json::value& row : held)
            if (std::ranges::find(stated, row) == stated.end())
                return fmt::format("correction {} stands in the archive, and not here",
                                   json::serialize(row.at("number")));
        return "";
    }

    std::optional<Error> compare_rows(const TraceOrigin& origin) {
        TraceOrigin held;
        auto checks = read_.archive.cell_checks();
        if (!checks) return checks.error();
        held.cell_checks = std::move(*checks);
        auto notes = read_.archive.notes();
        if (!notes) return notes.error();
        held.notes = std::move(*notes);
        const json::value stated = document_of(origin), ours = document_of(held);
        for (const auto& [key, what] :
             {std::pair{"cell_checks", "comparisons of the cell"}, {"notes", "notes"}})
            found_.push_back(
                compared_rows(what, stated.at(key).as_array(), ours.at(key).as_array()));
        return std::nullopt;
    }

    void compare_survey() {
        const Attachment* const file = named(attachments_, survey_name);
        if (file == nullptr) return;
        const auto stated = parse_survey_document(file->bytes.at_hand(), survey_name);
        const auto held = stated ? survey_document(read_.archive, stated->row.number, "the archive")
                                 : Result<std::string>(stated.error());
        found_.push_back(finding(survey_name,
                                 held ? first_difference_of_surveys(file->bytes.at_hand(), *held)
                                      : to_text(held.error()),
                                 stated ? fmt::format("the archive holds the same {} entries",
                                                      stated->survey.entries.size())
                                        : ""));
    }

    /// Of the boat that the report's log names.
    std::optional<Error> compare_anodes() {
        const Attachment* const file = named(attachments_, anodes_name);
        const auto held = read_.archive.anode_entries();
        if (!held) return held.error();
        if (file == nullptr) {
            if (held->empty()) return std::nullopt;
            auto [agreement, words] = compare_without_anode_log(boat_of_report(), *held);
            found_.push_back(
                {anodes_name + std::string(", archive"), agreement, clean_text(words)});
            return std::nullopt;
        }
        const auto stated = parse_anode_document(file->bytes.at_hand(), anodes_name);
        if (!stated) {
            found_.push_back(finding(anodes_name, to_text(stated.error()), ""));
            return std::nullopt;
        }
        const AnodeLogComparison compared = compare_anode_logs(*stated, *held);
        found_.push_back(finding(anodes_name, compared.difference, clean_text(compared.agreement)));
        return std::nullopt;
    }

    /// Whose log of anodes goes with a report; empty where the report does not tell.
    std::string boat_of_report() const {
        GivenFile criteria_file;
        if (const Attachment* const own = named(attachments_, criteria_name); own != nullptr)
            criteria_file = {criteria_name, own->bytes.at_hand()};
        if (const Attachment* const file = named(attachments_, vessel_name); file != nullptr) {
            const auto criteria = criteria_from(criteria_file);
            const auto vessel = criteria
                                    ? parse_vessel(file->bytes.at_hand(), vessel_name, *criteria)
                                    : Result<Vessel>(criteria.error());
            return vessel ? vessel->name : "";
        }
        if (const Attachment* const file = named(attachments_, survey_name); file != nullptr) {
            const auto survey = parse_survey_document(file->bytes.at_hand(), survey_name);
            return survey ? survey->row.boat : "";
        }
        return "";
    }

    std::span<const Attachment> attachments_;
    ReadArchive& read_;
    std::vector<EvidenceFinding> found_;
};

} // namespace

Result<std::vector<EvidenceFinding>> compare_with_archive(std::span<const Attachment> attachments,
                                                          ReadArchive& read) {
    return Comparison(attachments, read).run();
}

} // namespace quaycell
