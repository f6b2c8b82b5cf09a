#include "archive/archive.h"
#include "archive/schema_1.h"
#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <doctest/doctest.h>
#include <fstream>
#include <iterator>
#include <sqlite3.h>

using namespace quaycell;
using namespace quaycell::test;
namespace fs = std::filesystem;

namespace {

const Instant monday = from_unix_s(1'777'777'777);

void run(sqlite3* connection, const std::string& sql) {
    REQUIRE(sqlite3_exec(connection, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
}

std::string hex(const std::uint8_t* bytes, std::size_t count) {
    std::string text = "x'";
    for (std::size_t i = 0; i < count; ++i) {
        constexpr const char* digits = "0123456789abcdef";
        text += digits[bytes[i] >> 4];
        text += digits[bytes[i] & 0xF];
    }
    return text + "'";
}

/// As the loggers of that time told it.
struct Circuit1 {
    std::uint32_t converter_lsb_nv, reference_uv, thermistor_pullup_ohm, thermistor_25c_ohm;
    std::uint16_t thermistor_beta_k, battery_full_scale_mv, sum_full_scale, low_battery_mv;
};

struct Calibration1 {
    std::uint32_t unix_s;
    std::int32_t reference_code_x16;
    std::int16_t gain_a_ppm, offset_a_uv, gain_b_ppm, offset_b_uv, temperature_centi_c;
    std::uint16_t flags, uncertainty_uv, crc;
};

/// An archive by the first program: 100 records of logger 77, what it is, a note, an import.
void make_schema_1(const fs::path& path) {
    sqlite3* connection = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &connection) == SQLITE_OK);
    run(connection, schema_1);
    std::vector<std::uint8_t> records;
    for (std::uint32_t i = 0; i < 100; ++i) {
        const RecordBytes record = reading_record(1, 10 + i);
        records.insert(records.end(), record.begin(), record.end());
    }
    run(connection,
        "INSERT INTO block VALUES (77, 1, 10, 100, " + hex(records.data(), records.size()) + ")");
    const Circuit1 old{62500, 1024000, 10000, 10000, 3950, 6600, 16384, 3300};
    std::uint8_t circuit[sizeof old];
    wire::to_bytes(old, circuit);
    run(connection, "INSERT INTO logger VALUES (1, 77, 1777777777000, 1, 2, " +
                        hex(circuit, sizeof circuit) + ")");
    const Calibration1 compared{1770000000, 262144, 120, -30, -80, 45, 2150, 1, 250, 0};
    std::uint8_t calibration[sizeof compared];
    wire::to_bytes(compared, calibration);
    run(connection, "INSERT INTO calibration VALUES (1, 77, 1777777777000, " +
                        hex(calibration, sizeof calibration) + ")");
    run(connection, "INSERT INTO collection VALUES (1, 1777777777000, 77, 10, 110, 100, 0, '0.1')");
    run(connection,
        "INSERT INTO note VALUES (1, 77, 1777777777000, 'moored', 'Ann', 1777777778000)");
    run(connection,
        "INSERT INTO imported_trace VALUES (1, 'week.csv', 1777777777000, 1, 'a,b', 5)");
    sqlite3_close(connection);
}

void check_content(Archive& archive) {
    REQUIRE(archive.records(77));
    REQUIRE(archive.records(77)->size() == 100);
    CHECK(archive.records(77)->at(99) == reading_record(1, 109));
    CHECK(archive.missing(77, 0, 120).value() ==
          std::vector{SequenceRange{0, 10}, SequenceRange{110, 10}});
    const wire::Circuit circuit = archive.logger(77)->circuit;
    CHECK(circuit.converter_lsb_nv == 62500);
    CHECK(circuit.low_battery_mv == 3300);
    CHECK(circuit.thermistor_e12_per_k[0] == 3354016435); // 1 / 298.15 K
    CHECK(circuit.thermistor_e12_per_k[1] == 253164557);  // 1 / 3950 K
    CHECK(circuit.thermistor_e12_per_k[3] == 0);
    const auto calibration = archive.logger(77)->calibration;
    REQUIRE(calibration);
    CHECK(wire::is_valid(*calibration));
    CHECK(calibration->unix_s == 1770000000);
    CHECK(calibration->reference_code_x16 == 262144);
    CHECK(calibration->a.gain_ppm == 120);
    CHECK(calibration->a.offset_uv == -30);
    CHECK(calibration->b.gain_ppm == -80);
    CHECK(calibration->b.offset_uv == 45);
    CHECK(calibration->temperature_centi_c == 2150);
    CHECK(calibration->uncertainty_uv == 250);
    CHECK(calibration->a.gain_drift_ppb_per_k == wire::unmeasured_error);
    CHECK(calibration->a.ac_gain_50_hz_e4 == wire::unmeasured_size);
    CHECK(calibration->second_temperature_centi_c == wire::unmeasured_error);
    CHECK(archive.notes(77)->at(0).text == "moored");
    CHECK(archive.imported()->at(0).name == "week.csv");
    CHECK(archive.imported_csv(1).value() == "a,b");
    CHECK(archive.known_bad(77, 0, 120)->empty());
    CHECK(archive.corrections()->empty());
    CHECK(archive.losses().empty());
}

std::string content_of(const fs::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

TEST_CASE("an archive by the first program is brought up to date when it is written to") {
    const TemporaryFolder folder;
    const fs::path path = folder / "old";
    make_schema_1(path);
    {
        auto archive = Archive::open(path, OpenMode::write_create);
        REQUIRE(archive);
        check_content(*archive);
        CHECK(archive->put_known_bad(77, 1, {110, 1}, BadHow::torn, monday));
    }
    auto again = Archive::open(path, OpenMode::read);
    REQUIRE(again);
    CHECK(again->known_bad(77, 0, 120).value() == std::vector{SequenceRange{110, 1}});
    CHECK(again->records(77)->size() == 100);
}

TEST_CASE("an archive by the first program is read as it is, and stays so") {
    const TemporaryFolder folder;
    const fs::path path = folder / "old";
    make_schema_1(path);
    const std::string before = content_of(path);
    {
        auto archive = Archive::open(path, OpenMode::read);
        REQUIRE(archive);
        check_content(*archive);
        CHECK(archive->put_known_bad(77, 1, {110, 1}, BadHow::torn, monday).error().code ==
              ErrorCode::no_permission);
    }
    CHECK(content_of(path) == before);
    CHECK(std::distance(fs::directory_iterator(folder / ""), {}) == 1);
}

TEST_CASE("a damaged archive by the first program gives its records by their own checksums") {
    const TemporaryFolder folder;
    const fs::path path = folder / "old";
    make_schema_1(path);
    std::string content = content_of(path);
    const RecordBytes sought = reading_record(1, 50);
    const std::size_t at =
        content.find(std::string(reinterpret_cast<const char*>(sought.data()), sought.size()));
    REQUIRE(at != std::string::npos);
    content[at + 5] ^= 0x10;
    content[content.size() - 2] ^= 0x10; // so that the structure breaks, too: see below
    content.resize(content.size() + 100);
    std::ofstream(path, std::ios::binary) << content;
    auto archive = Archive::open(path, OpenMode::read);
    REQUIRE(archive);
    const auto records = archive->records(77);
    REQUIRE(records);
    for (const RecordBytes& record : *records)
        CHECK(wire::is_valid_record(record.data()));
}

namespace {

/// An archive by the second program: as the present one makes them, without corrections and
/// comparisons of cells.
void make_schema_2(const fs::path& path) {
    {
        auto archive = Archive::open(path, OpenMode::write_create);
        REQUIRE(archive);
        const std::vector<SequencedRecord> one{{10, reading_record(1, 10)}};
        REQUIRE(archive->add(77, one));
        REQUIRE(archive->put_note({77, monday, "moored", "Ann", monday}));
    }
    sqlite3* connection = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &connection) == SQLITE_OK);
    run(connection, "DROP TABLE correction; DROP TABLE cell_check; DROP TABLE survey; "
                    "DROP TABLE survey_point; DROP TABLE survey_entry; DROP TABLE anode_entry; "
                    "PRAGMA user_version = 2; PRAGMA journal_mode = DELETE;");
    sqlite3_close(connection);
}

} // namespace

TEST_CASE("an archive by the second program gets its table of corrections") {
    const TemporaryFolder folder;
    const fs::path path = folder / "old";
    make_schema_2(path);
    const std::string before = content_of(path);
    CHECK(Archive::open(path, OpenMode::read)->corrections()->empty());
    CHECK(content_of(path) == before);
    {
        auto archive = Archive::open(path, OpenMode::write_create);
        REQUIRE(archive);
        const CorrectionRow row{0,
                                {{false, 77, 1, 10}, 10, true, true},
                                "left-out",
                                "",
                                monday,
                                monday,
                                "in the bucket",
                                "Ann",
                                monday};
        CHECK(archive->put_correction(row, 0));
        CHECK(archive->put_cell_check({"AG-7", monday, "cell", -2.1, "good", "Ann", monday}));
        CHECK(archive->put_survey({}, {}).value() == 1);
        CHECK(archive->put_anode_entry({}).value() == 1);
    }
    auto again = Archive::open(path, OpenMode::read);
    REQUIRE(again);
    CHECK(again->corrections()->size() == 1);
    CHECK(again->surveys()->size() == 1);
    const auto checks = again->cell_checks();
    REQUIRE(checks);
    REQUIRE(checks->size() == 1);
    CHECK(checks->front().difference_mv == doctest::Approx(-2.1));
    CHECK(checks->front().cell + checks->front().finding + checks->front().author == "AG-7goodAnn");
    CHECK(again->records(77)->size() == 1);
}

TEST_CASE(
    "a byte that rotted in an archive by the second program is found before it is written to") {
    const TemporaryFolder folder;
    const fs::path path = folder / "old";
    make_schema_2(path);
    std::string content = content_of(path);
    const std::size_t at = content.find("moored");
    REQUIRE(at != std::string::npos);
    content[at] = 'M';
    std::ofstream(path, std::ios::binary) << content;
    const auto written = Archive::open(path, OpenMode::write_create);
    REQUIRE_FALSE(written);
    CHECK(written.error().code == ErrorCode::damaged);
    CHECK(content_of(path) == content);
    auto read = Archive::open(path, OpenMode::read);
    REQUIRE(read);
    CHECK(read->notes()->empty());
    CHECK(read->records(77)->size() == 1);
    CHECK_FALSE(read->losses().empty());
}
