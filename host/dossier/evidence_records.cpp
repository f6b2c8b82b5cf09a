#include "dossier/evidence_records.h"

#include "dossier/report_files.h"
#include "wire/record.h"

#include <algorithm>
#include <cstring>
#include <fmt/format.h>
#include <set>

namespace quaycell {

namespace {

Result<std::set<RecordBytes>> all_records(Archive& archive) {
    std::set<RecordBytes> records;
    const auto devices = archive.devices();
    if (!devices) return devices.error();
    for (const DeviceSummary& device : *devices) {
        const auto held = archive.records(device.device);
        if (!held) return held.error();
        records.insert(held->begin(), held->end());
    }
    return records;
}

EvidenceFinding finding_of(const Attachment& attachment, const std::set<RecordBytes>& held) {
    const std::string name = attachment.name + ", archive";
    const std::size_t count = attachment.bytes.size() / wire::record_size;
    for (std::size_t i = 0; i < count; ++i) {
        RecordBytes record{};
        std::memcpy(record.data(), attachment.bytes.data() + i * wire::record_size, record.size());
        if (held.contains(record)) continue;
        const auto head = wire::from_bytes<wire::RecordHead>(record.data());
        return {name, Agreement::differs,
                fmt::format("record {} of restart {} is not in the archive as it is here",
                            head.sequence, head.boot)};
    }
    return {name, Agreement::agrees, fmt::format("the archive holds all {} records", count)};
}

} // namespace

Result<std::vector<EvidenceFinding>> compare_records(std::span<const Attachment> attachments,
                                                     Archive& archive) {
    const auto held = all_records(archive);
    if (!held) return held.error();
    std::vector<EvidenceFinding> findings;
    for (const Attachment& each : attachments)
        if (each.name.starts_with(records_name)) findings.push_back(finding_of(each, *held));
    if (findings.empty())
        findings.push_back({"records", Agreement::not_compared,
                            "the report carries no logger's records, only readings from a file"});
    return findings;
}

} // namespace quaycell
