// A real archive with a byte flipped or the end cut off, at many places.
#include "archive/archive.h"
#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fstream>
#include <iterator>
#include <map>
#include <random>
#include <set>

using namespace quaycell;
using namespace quaycell::test;
namespace fs = std::filesystem;

namespace {

constexpr std::uint32_t devices[] = {77, 79};
constexpr std::uint32_t records_each = 1500;
const Instant monday = from_unix_s(1'777'777'777);
const wire::Circuit circuit{62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
                            112288, 330000,  297000, 10000, 6600,
                            16384,  3300,    3600,   789,   169,
                            55,     80};

RecordBytes header_record(std::uint32_t device, std::uint32_t sequence) {
    wire::SectorHeader header{};
    header.head = {static_cast<std::uint8_t>(wire::RecordKind::sector_header), 0, 1, sequence, 0};
    header.device_id = device;
    wire::seal(header);
    RecordBytes bytes;
    wire::to_bytes(header, bytes.data());
    return bytes;
}

std::vector<SequencedRecord> log_of(std::uint32_t device) {
    std::vector<SequencedRecord> log;
    for (std::uint32_t s = 0; s < records_each; ++s)
        log.push_back({s, wire::is_sector_start(s)
                              ? header_record(device, s)
                              : reading_record(1, s, static_cast<std::int16_t>(device))});
    return log;
}

struct Scene {
    TemporaryFolder folder;
    fs::path path = folder / "a.quaycell";
    std::string sound;
    std::set<RecordBytes> written[2];

    Scene() {
        {
            auto archive = Archive::open(path, OpenMode::write_create);
            REQUIRE(archive);
            for (int i = 0; i < 2; ++i) {
                const auto log = log_of(devices[i]);
                for (const SequencedRecord& record : log)
                    written[i].insert(record.bytes);
                const wire::HelloReply hello{1, 1, 0x0102, 0xABCD1234, devices[i], 1, 512, {}, 0};
                REQUIRE(archive->put_logger(hello, circuit, monday));
                for (std::size_t at = 0; at < log.size(); at += 300) // as a collection would
                    REQUIRE(archive->add(devices[i], std::span(log).subspan(at, 300)));
                REQUIRE(archive->put_collection(
                    {monday, devices[i], 0, records_each, records_each, 0, "0.1"}));
                REQUIRE(archive->put_note({devices[i], monday, "moored", "Ann", monday}));
            }
            for (int i = 0; i < 2; ++i)
                REQUIRE(archive->put_correction({0,
                                                 {{false, 77, 1, 5}, 9, true, true},
                                                 "left-out",
                                                 "",
                                                 monday,
                                                 monday,
                                                 "lifted",
                                                 "Ann",
                                                 monday},
                                                i));
            REQUIRE(archive->put_cell_check({"AG-7", monday, "cell", 2, "good", "Ann", monday}));
            AnodeEntryRow anode;
            anode.kind = "fitted";
            anode.place = "rudder";
            anode.mass_kg = 0.9;
            REQUIRE(archive->put_anode_entry(anode));
            SurveyRow survey;
            survey.boat = "Tern";
            survey.instrument = "DMM";
            const SurveyPointRow point{"rudder", "bonded", "", "port", 0.5};
            REQUIRE(archive->put_survey(survey, std::span(&point, 1)));
            SurveyEntryRow entry;
            entry.point = "rudder";
            entry.text = "touched";
            entry.potential_mv = -870.5;
            REQUIRE(archive->put_survey_entry(1, entry));
            REQUIRE(archive->put_imported("w.csv", monday, 1, std::string(9000, 'x'), monday));
        }
        sound = content();
    }

    std::string content() const {
        std::ifstream file(path, std::ios::binary);
        return {std::istreambuf_iterator<char>(file), {}};
    }
    void write(const std::string& content) const {
        std::ofstream(path, std::ios::binary) << content;
    }

    /// How many records come back; nothing of what comes back is other than was written.
    std::size_t check_nothing_is_wrong(Archive& archive) const {
        std::size_t count = 0;
        const auto known = archive.devices();
        REQUIRE(known);
        for (const DeviceSummary& device : *known) {
            const auto* const at = std::ranges::find(devices, device.device);
            REQUIRE(at != std::end(devices));
            const auto records = archive.records(device.device);
            REQUIRE(records);
            for (const RecordBytes& record : *records)
                REQUIRE(written[at - devices].contains(record));
            count += records->size();
            if (const auto logger = archive.logger(device.device))
                REQUIRE(logger->circuit.converter_lsb_nv == circuit.converter_lsb_nv);
            const auto notes = archive.notes(device.device);
            REQUIRE(notes);
            for (const Note& note : *notes)
                REQUIRE(note.text + note.author == "mooredAnn");
        }
        const auto corrections = archive.corrections();
        REQUIRE(corrections);
        for (const CorrectionRow& correction : *corrections)
            REQUIRE(correction.kind + correction.why + correction.author == "left-outliftedAnn");
        const auto checks = archive.cell_checks();
        REQUIRE(checks);
        for (const CellCheckRow& check : *checks)
            REQUIRE(check.cell + check.against + check.finding == "AG-7cellgood");
        const auto anodes = archive.anode_entries();
        REQUIRE(anodes);
        for (const AnodeEntryRow& anode : *anodes) {
            REQUIRE(anode.kind + anode.place == "fittedrudder");
            REQUIRE(anode.mass_kg == 0.9);
        }
        const auto surveys = archive.surveys();
        REQUIRE(surveys);
        for (const SurveyRow& survey : *surveys)
            REQUIRE(survey.boat + survey.instrument == "TernDMM");
        const auto points = archive.survey_points(1);
        REQUIRE(points);
        for (const SurveyPointRow& point : *points)
            REQUIRE(point.name + point.side == "rudderport");
        const auto entries = archive.survey_entries(1);
        REQUIRE(entries);
        for (const SurveyEntryRow& entry : *entries) {
            REQUIRE(entry.point + entry.text == "ruddertouched");
            REQUIRE(entry.potential_mv == -870.5);
        }
        const auto traces = archive.imported();
        REQUIRE(traces);
        for (const ImportedTrace& trace : *traces)
            REQUIRE(archive.imported_csv(trace.id).value() == std::string(9000, 'x'));
        return count;
    }

    void check_cannot_be_written() const {
        const auto archive = Archive::open(path, OpenMode::write_create);
        REQUIRE_FALSE(archive);
        CHECK(archive.error().code == ErrorCode::damaged);
        CHECK(archive.error().remedy ==
              "Keep a copy of the file as it is and collect into a new one; reading commands still "
              "show what is sound.");
    }
};

constexpr std::size_t all_records = 2 * records_each;
constexpr std::size_t page = 32768;
constexpr std::size_t header = 100; ///< of the file: what it is and which schema it has

/// Keeps what it is shown, by logger.
class Notebook final : public RecordVisitor {
  public:
    void see(std::uint32_t device, std::span<const std::uint8_t> records) override {
        for (; !records.empty(); records = records.subspan(wire::record_size))
            std::copy_n(records.begin(), wire::record_size, seen[device].emplace_back().begin());
    }
    void begin_again() override { seen.clear(); }

    std::map<std::uint32_t, std::vector<RecordBytes>> seen;
};

} // namespace

TEST_CASE_FIXTURE(Scene, "a sound archive has lost nothing") {
    auto archive = Archive::open(path, OpenMode::read);
    REQUIRE(archive);
    CHECK(archive->losses().empty());
    CHECK(check_nothing_is_wrong(*archive) == all_records);
}

TEST_CASE_FIXTURE(Scene, "a byte that rots in a record costs that record, which is named") {
    const RecordBytes sought = reading_record(1, 700, 79);
    const std::size_t at =
        sound.find(std::string(reinterpret_cast<const char*>(sought.data()), 10));
    REQUIRE(at != std::string::npos);
    std::string rotten = sound;
    rotten[at + 9] = static_cast<char>(rotten[at + 9] ^ 0x04);
    write(rotten);
    auto archive = Archive::open(path, OpenMode::read);
    REQUIRE(archive);
    CHECK(check_nothing_is_wrong(*archive) == all_records - 1);
    REQUIRE(archive->losses().size() == 1);
    CHECK(archive->losses()[0].ends_with(": 1 record from number 700 on"));
    // All else is there.
    CHECK(archive->notes()->size() == 2);
    CHECK(archive->corrections()->size() == 2);
    CHECK(archive->cell_checks()->size() == 1);
    CHECK(archive->imported()->size() == 1);
    CHECK(archive->surveys()->size() == 1);
    CHECK(archive->survey_points(1)->size() == 1);
    CHECK(archive->survey_entries(1)->size() == 1);
    check_cannot_be_written();
}

TEST_CASE_FIXTURE(Scene, "a flipped bit anywhere never gives a wrong record") {
    std::mt19937 random(20260504);
    std::size_t opened = 0;
    std::size_t kept = 0;
    std::size_t unharmed = 0;
    constexpr std::size_t tries = 600;
    for (std::size_t i = 0; i < tries; ++i) {
        // A third in the first page, on which all else hangs.
        const std::size_t at = i % 3 == 0 ? random() % page : random() % sound.size();
        std::string flipped = sound;
        flipped[at] = static_cast<char>(flipped[at] ^ (1 << random() % 8));
        CAPTURE(at);
        write(flipped);
        auto archive = Archive::open(path, OpenMode::read);
        if (!archive) {
            CHECK(at < header);
            continue;
        }
        ++opened;
        const std::size_t count = check_nothing_is_wrong(*archive);
        // The worst is a flip in a page that holds the places of many blocks.
        CHECK(count >= all_records / 2);
        if (archive->losses().empty()) {
            CHECK(count == all_records);
            ++unharmed;
        }
        kept += count;
    }
    MESSAGE(opened, " of ", tries, " opened, ", unharmed, " of them unharmed, with ",
            100.0 * static_cast<double>(kept) / static_cast<double>(opened * all_records),
            " % of the records");
    CHECK(opened > tries * 9 / 10);
}

TEST_CASE_FIXTURE(Scene, "whole stretches of other bytes never give a wrong record") {
    std::mt19937 random(7);
    for (int i = 0; i < 150; ++i) {
        std::string broken = sound;
        const std::size_t at = page + random() % (broken.size() - page);
        const std::size_t count = std::min<std::size_t>(1 + random() % 9000, broken.size() - at);
        for (std::size_t j = at; j < at + count; ++j)
            broken[j] = static_cast<char>(i % 2 == 0 ? 0 : random());
        CAPTURE(at);
        CAPTURE(count);
        write(broken);
        auto archive = Archive::open(path, OpenMode::read);
        REQUIRE(archive);
        const std::size_t left = check_nothing_is_wrong(*archive);
        if (archive->losses().empty()) CHECK(left == all_records);
    }
}

TEST_CASE_FIXTURE(Scene, "an archive cut off anywhere gives what stands before the cut") {
    std::mt19937 random(9);
    for (int i = 0; i < 150; ++i) {
        const std::size_t length = random() % sound.size();
        CAPTURE(length);
        write(sound.substr(0, length));
        auto archive = Archive::open(path, OpenMode::read);
        if (!archive) {
            CHECK(length < header);
            continue;
        }
        CHECK_FALSE(archive->losses().empty());
        check_nothing_is_wrong(*archive);
    }
}

TEST_CASE_FIXTURE(Scene, "a damaged archive stays as it is, whoever opens it") {
    const RecordBytes sought = reading_record(1, 700, 79);
    std::string broken = sound;
    broken.replace(sound.find(std::string(reinterpret_cast<const char*>(sought.data()), 10)), 64,
                   64, '\x5A');
    write(broken);
    CHECK_FALSE(Archive::open(path, OpenMode::read)->losses().empty());
    check_cannot_be_written();
    CHECK(content() == broken);
}

TEST_CASE_FIXTURE(Scene, "whoever looks on while an archive is opened sees what it holds, once") {
    std::mt19937 chance(17);
    for (int round = 0; round < 12; ++round) {
        std::string bytes = sound;
        for (int hit = 0; hit < round; ++hit) { // none at first
            char& byte = bytes[chance() % bytes.size()];
            byte = static_cast<char>(byte ^ 0x10);
        }
        write(bytes);
        Notebook notebook;
        auto archive = Archive::open(path, OpenMode::read, &notebook);
        if (!archive) continue;
        for (const std::uint32_t device : devices) {
            const auto held = archive->records(device);
            REQUIRE(held);
            CHECK(notebook.seen[device] == *held);
        }
        CHECK((round > 0 || notebook.seen[devices[0]].size() == records_each));
    }
}

TEST_CASE("a row with an empty text outlasts what happens to another row") {
    const TemporaryFolder folder;
    const fs::path path = folder / "a.quaycell";
    {
        auto archive = Archive::open(path, OpenMode::write_create);
        REQUIRE(archive);
        REQUIRE(archive->put_cell_check({"", monday, "cell", 2, "good", "Ann", monday}));
        REQUIRE(archive->put_imported("w.csv", monday, 1, std::string(9000, 'x'), monday));
    }
    std::ifstream file(path, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(file), {}};
    bytes[bytes.find("xxxxx")] = 'y';
    std::ofstream(path, std::ios::binary) << bytes;
    auto archive = Archive::open(path, OpenMode::read);
    REQUIRE(archive);
    CHECK_FALSE(archive->losses().empty());
    const auto checks = archive->cell_checks();
    REQUIRE(checks);
    REQUIRE(checks->size() == 1);
    CHECK(checks->front().cell.empty());
    CHECK(checks->front().finding == "good");
}
