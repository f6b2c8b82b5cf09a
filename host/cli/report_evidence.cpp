#include "cli/report_evidence.h"

#include "cli/archive_contents.h"
#include "cli/files.h"
#include "cli/json_text.h"
#include "cli/judgement_text.h"
#include "series/trace_csv.h"

#include <boost/json.hpp>
#include <fmt/format.h>

namespace quaycell {

namespace {

namespace json = boost::json;

template <typename Struct>
std::string hex_of(const Struct& value) {
    std::array<std::uint8_t, sizeof value> bytes{};
    wire::to_bytes(value, bytes.data());
    std::string hex;
    for (const std::uint8_t byte : bytes)
        hex += fmt::format("{:02x}", byte);
    return hex;
}

/// Circuit and calibration as the logger told them, bytes of PROTOCOL.md: what it takes to read its
/// records.
std::string logger_json(const LoggerRow& logger) {
    return to_document(
        json::object{{"device", logger.device},
                     {"firmware_version", logger.firmware_version},
                     {"firmware_build", logger.firmware_build},
                     {"circuit_hex", hex_of(logger.circuit)},
                     {"calibration_hex",
                      logger.calibration ? json::value(hex_of(*logger.calibration)) : nullptr}});
}

Result<Done> add_entry(Archive& archive, const ArchiveEntry& entry,
                       std::vector<Attachment>& attachments) {
    if (!entry.device) {
        const auto text = archive.imported_csv(entry.key.whose);
        if (!text) return text.error();
        attachments.push_back({fmt::format("imported-{}.csv", entry.number), "text/csv",
                               "The readings as they were imported.", *text});
        return Done{};
    }
    const auto records = archive.records(*entry.device);
    if (!records) return records.error();
    const auto own = std::span(*records).subspan(entry.deployment.first, entry.deployment.count);
    std::string bytes;
    bytes.reserve(own.size_bytes());
    for (const RecordBytes& record : own)
        bytes.append(reinterpret_cast<const char*>(record.data()), record.size());
    attachments.push_back({fmt::format("records-{}.bin", entry.number), "application/octet-stream",
                           "The logger's records, verbatim, 32 bytes each.", std::move(bytes)});
    const auto logger = archive.logger(*entry.device, entry.from.value_or(Instant::max()));
    if (!logger) return logger.error();
    attachments.push_back({fmt::format("logger-{}.json", entry.number), "application/json",
                           "The logger, its circuit and its calibration.", logger_json(*logger)});
    return Done{};
}

Result<Done> add_archive(const TraceOptions& source, std::vector<Attachment>& attachments) {
    const auto wanted = parse_wanted(source.deployments);
    if (!wanted) return wanted.error();
    auto archive = open_to_read(source.archive_file);
    if (!archive) return archive.error();
    const auto entries = entries_of(*archive);
    if (!entries) return entries.error();
    const auto chosen = chosen_entries(*entries, *wanted, source.archive_file);
    if (!chosen) return chosen.error();
    for (const ArchiveEntry& entry : *chosen)
        if (const auto added = add_entry(*archive, entry, attachments); !added)
            return added.error();
    return Done{};
}

Result<Done> add_file(const std::string& file, std::string name, std::string media_type,
                      std::string description, std::vector<Attachment>& attachments) {
    if (file.empty()) return Done{};
    auto text = read_file(file);
    if (!text) return text.error();
    attachments.push_back(
        {std::move(name), std::move(media_type), std::move(description), std::move(*text)});
    return Done{};
}

} // namespace

Result<std::vector<Attachment>> evidence_of(const TraceOptions& source, const BoatOptions& boat,
                                            const std::string& inspection_file,
                                            const TraceJudgement& judgement) {
    std::vector<Attachment> attachments;
    if (!source.archive_file.empty())
        if (const auto added = add_archive(source, attachments); !added) return added.error();
    struct File {
        const std::string& path;
        const char* name;
        const char* media_type;
        const char* description;
    };
    for (const File& file :
         {File{source.trace_file, "source.csv", "text/csv", "The readings as they were given."},
          File{boat.vessel_file, "vessel.toml", "application/toml", "The boat."},
          File{boat.criteria_file, "criteria.toml", "application/toml", "Criteria of the user's."},
          File{boat.budget_file, "budget.toml", "application/toml", "The user's budget."},
          File{inspection_file, "inspection.toml", "application/toml", "What people said."}}) {
        const auto added =
            add_file(file.path, file.name, file.media_type, file.description, attachments);
        if (!added) return added.error();
    }
    attachments.push_back(
        {"trace.csv", "text/csv", "The trace as it was judged.",
         write_trace_csv(whole_trace(judgement.trace), judgement.judged.standard_mv.whole())});
    attachments.push_back({"judgement.json", "application/json", "All that was computed.",
                           to_document(trace_judgement_json(judgement))});
    return attachments;
}

} // namespace quaycell
