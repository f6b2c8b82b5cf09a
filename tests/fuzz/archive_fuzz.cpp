// Any bytes as an archive file: opened, read in every way, and collected into.
#include "fuzz/input.h"

#include "archive/archive.h"
#include "base/known_time.h"

#include <fstream>
#include <unistd.h>

using namespace quaycell;

namespace {

namespace fs = std::filesystem;

/// A file in memory where there is such a folder: the fuzzer writes thousands a second.
fs::path scratch_file() {
    const fs::path folder =
        fs::is_directory("/dev/shm") ? fs::path("/dev/shm") : fs::temp_directory_path();
    return folder / ("quaycell-archive-fuzz-" + std::to_string(getpid()));
}

void remove_files(const fs::path& file) {
    for (const char* suffix : {"", "-wal", "-shm", "-journal"}) {
        std::error_code ignored;
        fs::remove(file.string() + suffix, ignored);
    }
}

void read_all(Archive& archive) {
    const auto devices = archive.devices();
    if (!devices) return;
    for (const DeviceSummary& device : *devices) {
        if (const auto records = archive.records(device.device); !records) continue;
        (void)archive.logger(device.device);
        (void)archive.notes(device.device);
        (void)archive.highest_sequence(device.device);
        (void)archive.record(device.device, 130);
        (void)archive.missing(device.device, 100, 400);
        (void)archive.known_bad(device.device, 100, 400);
        (void)archive.spent(device.device, 100, 400);
        (void)archive.boots(device.device);
        (void)archive.last_stated_time(device.device);
        (void)archive.left_behind(device.device);
    }
    (void)archive.corrections();
    (void)archive.cell_checks();
    (void)archive.numbered_entries();
    if (const auto entries = archive.anode_entries())
        for (const AnodeEntryRow& row : *entries)
            fuzz::promise(is_known_time(row.at));
    if (const auto surveys = archive.surveys())
        for (const SurveyRow& survey : *surveys) {
            (void)archive.survey_points(survey.number);
            (void)archive.survey_entries(survey.number);
        }
    const auto traces = archive.imported();
    if (!traces) return;
    for (const ImportedTrace& trace : *traces)
        (void)archive.imported_csv(trace.id);
}

SequencedRecord reading(std::uint32_t sequence) {
    wire::Reading reading{};
    reading.head = {static_cast<std::uint8_t>(wire::RecordKind::reading), 0, 3, sequence, sequence};
    wire::seal(reading);
    SequencedRecord record{sequence, {}};
    wire::to_bytes(reading, record.bytes.data());
    return record;
}

/// What add() says it has added is there, once.
void collect_into(Archive& archive) {
    const std::vector records{reading(129), reading(130), reading(257)};
    const auto counts = archive.add(77, records);
    if (!counts) return;
    fuzz::promise(counts->added + counts->already_held == records.size());
    const auto again = archive.add(77, records);
    if (!again) return;
    fuzz::promise(again->added == 0);
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t count) {
    static const fs::path file = scratch_file();
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes), static_cast<std::streamsize>(count));
    if (auto archive = Archive::open(file, OpenMode::read)) read_all(*archive);
    if (auto archive = Archive::open(file, OpenMode::write_create)) {
        collect_into(*archive);
        read_all(*archive);
    }
    remove_files(file);
    return 0;
}
