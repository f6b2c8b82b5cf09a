#include "archive/archive.h"

#include "archive/temporary_folder.h"

#include <atomic>
#include <doctest/doctest.h>
#include <fstream>
#include <sqlite3.h>
#include <thread>

using namespace quaycell;
using namespace quaycell::test;
namespace fs = std::filesystem;

namespace {

constexpr std::uint32_t device = 77;
const Instant monday = from_unix_s(1'777'777'777);
const Instant tuesday = monday + std::chrono::days{1};

struct Fixture {
    TemporaryFolder folder;
    Archive archive = Archive::open(folder / "a.quaycell", OpenMode::write_create).value();
    wire::HelloReply hello{1, 1, 0x0102, 0xABCD1234, device, 3, 512, {}, 0};
    wire::Circuit circuit{62500,  1024000, 10000,  10000, {3354016000, 256985000, 2620131, 63831},
                          112288, 330000,  292000, 10000, 6600,
                          16384,  3300,    3600,   793,   167,
                          55,     65};
};

wire::Calibration calibrated(int gain_ppm) {
    wire::Calibration calibration{};
    calibration.a.gain_ppm = static_cast<std::int16_t>(gain_ppm);
    return calibration;
}

} // namespace

TEST_CASE_FIXTURE(Fixture, "what a logger is, is kept") {
    CHECK(archive.logger(device).error().code == ErrorCode::not_found);
    REQUIRE(archive.put_logger(hello, circuit, monday));
    auto logger = archive.logger(device);
    REQUIRE(logger);
    CHECK(logger->first_seen == monday);
    CHECK(logger->firmware_version == 0x0102);
    CHECK(logger->firmware_build == 0xABCD1234);
    CHECK(logger->circuit.converter_lsb_nv == 62500);
    CHECK_FALSE(logger->calibration);
    REQUIRE(archive.put_calibration(device, calibrated(120), monday));
    logger = archive.logger(device);
    REQUIRE(logger->calibration);
    CHECK(logger->calibration->a.gain_ppm == 120);
}

TEST_CASE_FIXTURE(Fixture, "a logger that has not changed keeps the day it was first seen so") {
    REQUIRE(archive.put_logger(hello, circuit, monday));
    REQUIRE(archive.put_logger(hello, circuit, tuesday));
    CHECK(archive.logger(device)->first_seen == monday);
    hello.firmware_version = 0x0103;
    REQUIRE(archive.put_logger(hello, circuit, tuesday));
    CHECK(archive.logger(device)->first_seen == tuesday);
    CHECK(archive.logger(device)->firmware_version == 0x0103);
}

TEST_CASE_FIXTURE(Fixture, "a new firmware's circuit is not that of what an old one recorded") {
    REQUIRE(archive.put_logger(hello, circuit, monday));
    hello.firmware_build = 0xABCD5678;
    circuit.stimulus_not_good_mv = 80;
    REQUIRE(archive.put_logger(hello, circuit, tuesday));
    const auto not_good_mv = [&](Instant at, std::optional<std::uint32_t> build) {
        return archive.logger(device, at, build)->circuit.stimulus_not_good_mv;
    };
    CHECK(not_good_mv(monday, {}) == 65);
    CHECK(not_good_mv(tuesday, {}) == 80);
    CHECK(not_good_mv(monday - std::chrono::hours{1}, {}) == 65);
    // What the records themselves tell counts more than when a host has seen it.
    CHECK(not_good_mv(monday, 0xABCD5678) == 80);
    CHECK(not_good_mv(tuesday, 0xABCD1234) == 65);
    CHECK(not_good_mv(tuesday, 0x1) == 80); // of which nobody knows the circuit
}

TEST_CASE_FIXTURE(Fixture,
                  "the calibration in force is the last one seen, even if it was seen before") {
    REQUIRE(archive.put_logger(hello, circuit, monday));
    for (const int gain : {120, 130, 130, 120})
        REQUIRE(archive.put_calibration(device, calibrated(gain), monday));
    CHECK(archive.logger(device)->calibration->a.gain_ppm == 120);
}

TEST_CASE_FIXTURE(Fixture, "a collection tells when a logger was last emptied") {
    REQUIRE(archive.put_logger(hello, circuit, monday));
    REQUIRE(archive.put_collection({tuesday, device, 0, 100, 99, 1, "0.1"}));
    REQUIRE(archive.put_collection({monday, device, 0, 50, 50, 0, "0.1"}));
    const auto devices = archive.devices();
    REQUIRE(devices->size() == 1);
    CHECK(devices->front().record_count == 0);
    CHECK(devices->front().last_collected == tuesday);
}

TEST_CASE_FIXTURE(Fixture, "notes stand by the time they are about, corrections beside them") {
    REQUIRE(archive.put_note({device, tuesday, "shore power off", "A. Example", tuesday}));
    REQUIRE(archive.put_note({device, monday, "cell hung at the stern", "A. Example", tuesday}));
    REQUIRE(archive.put_note({device, monday, "no: at the bow", "B. Example", tuesday}));
    const auto notes = archive.notes(device);
    REQUIRE(notes);
    REQUIRE(notes->size() == 3);
    CHECK((*notes)[0].text == "cell hung at the stern");
    CHECK((*notes)[1].author == "B. Example");
    CHECK((*notes)[2].at == tuesday);
    CHECK(archive.notes(device + 1)->empty());
}

TEST_CASE_FIXTURE(Fixture, "an imported trace is kept once") {
    const std::string csv = "time,potential_mv\r\n2026-05-04T06:00:00Z,-870\r\n";
    CHECK(archive.put_imported("week.csv", monday, 1, csv, tuesday).value());
    CHECK_FALSE(archive.put_imported("copy.csv", monday, 1, csv, tuesday).value());
    CHECK(archive.put_imported("other.csv", monday, 2, csv + "\r\n", tuesday).value());
    const auto imported = archive.imported();
    REQUIRE(imported);
    REQUIRE(imported->size() == 2);
    CHECK(imported->front().name == "week.csv");
    CHECK(imported->front().from == monday);
    CHECK(imported->front().readings == 1);
    CHECK(archive.imported_csv(imported->front().id).value() == csv);
    CHECK(archive.imported_csv(99).error().code == ErrorCode::not_found);
}

TEST_CASE_FIXTURE(Fixture, "a long imported trace is kept as a short one, whoever else reads") {
    std::string csv = "time,potential_mv\r\n";
    csv.resize(std::size_t{5} << 20U, ' ');
    CHECK(archive.put_imported("alone.csv", monday, 1, csv, tuesday).value());
    {
        auto other = Archive::open(folder / "a.quaycell", OpenMode::read);
        REQUIRE(other);
        REQUIRE(other->imported()->size() == 1);
        CHECK(archive.put_imported("beside.csv", monday, 2, csv + "\r\n", tuesday).value());
        CHECK_FALSE(archive.put_imported("again.csv", monday, 1, csv, tuesday).value());
        CHECK(other->imported()->size() == 1);
    }
    const auto imported = archive.imported();
    REQUIRE(imported->size() == 2);
    CHECK(archive.imported_csv(imported->front().id).value() == csv);
    CHECK(archive.imported_csv(imported->back().id).value() == csv + "\r\n");
    CHECK(Archive::open(folder / "a.quaycell", OpenMode::read).value().losses().empty());
}

TEST_CASE_FIXTURE(Fixture,
                  "who comes to read while a long trace is put does not keep it from its end") {
    const fs::path file = folder / "a.quaycell";
    std::string csv = "time,potential_mv\r\n";
    csv.resize(std::size_t{64} << 20U, ' ');
    std::atomic<bool> done = false;
    std::thread reader([&] {
        while (!done) {
            // SQLite's file format, section 1.3.3: byte 18 is 1 where there is no log to read
            // beside.
            std::ifstream header(file, std::ios::binary);
            header.seekg(18);
            if (header.get() != 1) continue;
            sqlite3* connection = nullptr;
            sqlite3_open(file.c_str(), &connection);
            const bool reads = sqlite3_exec(connection, "BEGIN; SELECT * FROM imported_trace",
                                            nullptr, nullptr, nullptr) == SQLITE_OK;
            // Longer than a writer waits for it.
            for (int waited = 0; reads && !done && waited < 600; ++waited)
                std::this_thread::sleep_for(std::chrono::milliseconds(100));
            sqlite3_close(connection);
        }
    });
    const auto put = archive.put_imported("long.csv", monday, 1, csv, tuesday);
    done = true;
    reader.join();
    REQUIRE(put);
    CHECK(*put);
    CHECK(archive.imported_csv(archive.imported()->back().id).value().size() == csv.size());
    REQUIRE(archive.put_note({device, monday, "and the archive goes on", "Ann", tuesday}));
    CHECK(Archive::open(file, OpenMode::read).value().losses().empty());
}

TEST_CASE_FIXTURE(Fixture,
                  "what is numbered once keeps its number, and new things are numbered on") {
    const EntryKey first{false, device, 1, 0};
    const EntryKey second{false, device, 1, 500};
    const EntryKey trace{true, 1, 0, 0};
    REQUIRE(archive.number_entries(std::vector{second}));
    REQUIRE(archive.number_entries(std::vector{first, second, trace}));
    REQUIRE(archive.number_entries(std::vector{trace, first, second}));
    const auto entries = archive.numbered_entries();
    REQUIRE(entries);
    REQUIRE(entries->size() == 3);
    CHECK((*entries)[0].number == 1);
    CHECK((*entries)[0].key == second);
    CHECK((*entries)[1].key == first);
    CHECK((*entries)[2].number == 3);
    CHECK((*entries)[2].key == trace);
}

TEST_CASE_FIXTURE(Fixture, "what a collection that broke off left in the logger is counted") {
    CHECK(archive.left_behind(device).value() == 0);
    REQUIRE(archive.put_collection_begun(device, 0, 100, monday));
    CHECK(archive.left_behind(device).value() == 100);
    REQUIRE(archive.put_known_bad(device, 1, {90, 10}, BadHow::torn, monday));
    CHECK(archive.left_behind(device).value() == 90);
    CHECK(archive.left_behind(device + 1).value() == 0);
    REQUIRE(archive.put_collection_begun(device, 90, 100, tuesday)); // the rest has been let go
    CHECK(archive.left_behind(device).value() == 0);
}

TEST_CASE_FIXTURE(Fixture, "all notes come by the time they are about") {
    REQUIRE(archive.put_note({device + 1, tuesday, "later", "Ann", tuesday}));
    REQUIRE(archive.put_note({0, monday, "earlier", "Bob", tuesday}));
    const auto notes = archive.notes();
    REQUIRE(notes);
    REQUIRE(notes->size() == 2);
    CHECK((*notes)[0].text == "earlier");
    CHECK((*notes)[1].device == device + 1);
}

TEST_CASE_FIXTURE(Fixture, "a deployment is read with the calibration of its time") {
    REQUIRE(archive.put_logger(hello, circuit, monday));
    wire::Calibration first = calibrated(120);
    first.unix_s = 1'700'000'000;
    wire::Calibration second = calibrated(-300);
    second.unix_s = 1'780'000'000;
    REQUIRE(archive.put_calibration(device, first, monday));
    REQUIRE(archive.put_calibration(device, second, tuesday));
    const auto gain_at = [&](std::int64_t unix_s) {
        return archive.logger(device, from_unix_s(unix_s))->calibration->a.gain_ppm;
    };
    CHECK(gain_at(1'690'000'000) == 120); // before any: the nearest there is
    CHECK(gain_at(1'779'999'999) == 120);
    CHECK(gain_at(1'780'000'000) == -300);
}

TEST_CASE_FIXTURE(Fixture, "corrections are kept in order, whatever they withdraw") {
    CorrectionRow row{0,
                      {{false, device, 3, 100}, 250, true, false},
                      "moved-times",
                      "-90000",
                      monday,
                      tuesday,
                      "slow clock",
                      "Ann",
                      tuesday};
    REQUIRE(archive.put_correction(row, 0));
    CorrectionRow back = row;
    back.kind = withdrawal;
    back.value = std::string(1, '1');
    back.author = "Bob";
    REQUIRE(archive.put_correction(back, 1));
    const auto all = archive.corrections();
    REQUIRE(all);
    REQUIRE(all->size() == 2);
    CHECK((*all)[0].number == 1);
    CHECK((*all)[0].part == row.part);
    CHECK((*all)[0].kind == "moved-times");
    CHECK((*all)[0].value == "-90000");
    CHECK((*all)[0].from == monday);
    CHECK((*all)[0].to == tuesday);
    CHECK((*all)[0].why == "slow clock");
    CHECK((*all)[0].written_at == tuesday);
    CHECK((*all)[1].kind == withdrawal);
    CHECK((*all)[1].author == "Bob");
}

TEST_CASE_FIXTURE(Fixture, "a correction decided on without knowing another is refused") {
    const CorrectionRow row{0,
                            {{true, 1, 0, 0}, 9, true, true},
                            "left-out",
                            "",
                            monday,
                            monday,
                            "in the bucket",
                            "Ann",
                            monday};
    REQUIRE(archive.put_correction(row, 0));
    const auto late = archive.put_correction(row, 0);
    REQUIRE_FALSE(late);
    CHECK(late.error().code == ErrorCode::in_use);
    CHECK(archive.corrections()->size() == 1);
}
