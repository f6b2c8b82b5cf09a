#include "collect/same_logger.h"

#include "collecting.h"

using namespace quaycell;
using namespace quaycell::test;

namespace {

template <typename Record>
RecordBytes sealed(Record record, wire::RecordKind kind, std::uint16_t boot, std::uint32_t number) {
    record.head.kind = static_cast<std::uint8_t>(kind);
    record.head.boot = boot;
    record.head.sequence = number;
    wire::seal(record);
    RecordBytes bytes;
    wire::to_bytes(record, bytes.data());
    return bytes;
}

/// A deployment of `count` records that was armed at this time.
std::vector<RecordBytes> deployment(std::uint16_t boot, std::uint32_t first, std::uint32_t count,
                                    std::uint32_t armed_unix_s, std::int16_t cell_a = -8700) {
    std::vector<RecordBytes> slots;
    wire::Arm arm{};
    arm.unix_s = armed_unix_s;
    slots.push_back(sealed(arm, wire::RecordKind::arm, boot, first));
    for (std::uint32_t i = 1; i < count; ++i)
        slots.push_back(reading_record(boot, first + i, cell_a));
    wire::Check check{};
    check.unix_s = armed_unix_s + count * 10;
    slots.back() = sealed(check, wire::RecordKind::check, boot, first + count - 1);
    return slots;
}

constexpr std::uint32_t may = 1'777'593'600;
constexpr std::uint32_t day = 86400;

struct Namesakes : Fixture {
    Namesakes() {
        fake.slots = deployment(5, 1000, 30000, may); // until three and a half days later
        fake.first = 1000;
        collected();
        before = archived();
    }
    void now_is(std::uint32_t first, std::vector<RecordBytes> slots, std::uint16_t boot) {
        fake.first = first;
        fake.slots = std::move(slots);
        fake.hello.boot = boot;
    }
    void check_refused(const std::string& words) {
        const auto report = try_collect();
        REQUIRE_FALSE(report);
        CHECK(report.error().code == ErrorCode::refused);
        CHECK(report.error().what.find("another logger with the same number 0000004d") !=
              std::string::npos);
        CHECK_MESSAGE(report.error().what.find(words) != std::string::npos, report.error().what);
        CHECK(report.error().remedy.find("archive of its own") != std::string::npos);
        CHECK(archived() == before);
    }

    std::vector<RecordBytes> before;
};

} // namespace

TEST_CASE_FIXTURE(Namesakes, "the next deployment of the same logger is collected") {
    now_is(31104, deployment(5, 31104, 200, may + 4 * day), 5);
    CHECK(collected().added == 200);
    now_is(31360, deployment(7, 31360, 200, may + 5 * day), 7);
    CHECK(collected().added == 200);
    CHECK(collected().added == 0);
}

TEST_CASE_FIXTURE(Namesakes, "its clock may have been set back by less than a day meanwhile") {
    now_is(31104, deployment(5, 31104, 200, may + 3 * day), 5);
    CHECK(collected().added == 200);
}

TEST_CASE_FIXTURE(Namesakes, "a namesake with fewer restarts is refused, whatever its numbers") {
    for (const std::uint32_t first : {0U, 2000U, 90000U}) {
        now_is(first, deployment(3, first, 500, may + 9 * day), 3);
        check_refused("up to restart 5");
    }
}

TEST_CASE_FIXTURE(Namesakes, "a namesake with as many restarts and other records is refused") {
    now_is(1000, deployment(5, 1000, 500, may + 9 * day, -7000), 5);
    check_refused("up to restart 5");
}

TEST_CASE_FIXTURE(Namesakes,
                  "a namesake with more restarts that recorded at the same time is refused") {
    now_is(0, deployment(8, 0, 500, may), 8);
    check_refused("began to record at 2026-05-01T00:00:00Z");
    now_is(90112, deployment(8, 90112, 500, may), 8);
    check_refused("began to record at 2026-05-01T00:00:00Z");
}

TEST_CASE_FIXTURE(
    Namesakes, "a namesake that was calibrated before is refused, and its calibration not kept") {
    const auto calibrate = [&](std::uint32_t unix_s) {
        fake.hello.faults = 0;
        fake.calibration.unix_s = unix_s;
        fake.calibration.layout = wire::calibration_layout;
        fake.calibration.flags = wire::calibration_valid;
        wire::seal(fake.calibration);
    };
    calibrate(may - 2 * day);
    CHECK(collected().added == 0);
    now_is(31104, deployment(6, 31104, 200, may + 4 * day), 6);
    calibrate(may - 3 * day);
    check_refused("it was calibrated at 2026-04-28T00:00:00Z");
    CHECK(archive.logger(77)->calibration->unix_s == may - 2 * day);
    calibrate(may + 4 * day);
    CHECK(collected().added == 200);
}

TEST_CASE_FIXTURE(Namesakes, "one record that decayed in the logger does not make it another one") {
    fake.slots.back()[20] ^= 1;
    const CollectReport report = collected();
    CHECK(report.added == 0);
    CHECK(archived() == before);
}
