#include "dossier/trace_origin.h"

#include <cstring>
#include <doctest/doctest.h>

using namespace quaycell;

namespace {

Instant at(std::int64_t unix_ms) {
    return Instant(std::chrono::milliseconds(unix_ms));
}

/// With everything that there can be.
TraceOrigin full() {
    wire::Circuit circuit{};
    wire::Calibration calibration{};
    calibration.unix_s = 1'770'000'000;
    std::memcpy(calibration.instrument, "DMM 12", 6);
    OriginPart logger;
    logger.number = 3;
    logger.origin = "logger 0000a1b2";
    logger.file = "records-3.bin";
    logger.logger =
        LoggerRow{0xa1b2, at(1'770'000'000'123), 0x0102, 0xdeadbeef, circuit, calibration};
    logger.spent = {{7, 2}, {0xffffffff, 1}};
    logger.corrections = {{5,
                           {{false, 0xa1b2, 9, 100}, 200, true, false},
                           "salinity",
                           "24.5",
                           at(1),
                           at(2),
                           "it said \"brackish\" \x01",
                           "Ann",
                           at(3)}};
    OriginPart imported;
    imported.number = 4;
    imported.origin = "imported week.csv";
    imported.file = "imported-4.csv";
    TraceOrigin origin;
    origin.name = "tern.quaycell";
    origin.is_archive = true;
    origin.read_as = ReadAs::recorded;
    origin.parts = {logger, imported};
    origin.cell_checks = {{"C-17", at(4), "cell", -2.125, "good", "Ben", at(5)}};
    origin.remarks = {"the archive is damaged; lost: a note"};
    origin.notes = {{0xa1b2, at(6), "\"shore\" out \x02", "Cleo", at(7)}};
    return origin;
}

Attachment csv(const char* text) {
    return {"source.csv", "text/csv", "", text};
}

TraceOrigin of_csv() {
    OriginPart part;
    part.file = "source.csv";
    TraceOrigin origin;
    origin.name = "week.csv";
    origin.parts = {part};
    return origin;
}

} // namespace

TEST_CASE("an origin is read as it was written") {
    const TraceOrigin before = full();
    const auto after = parse_origin(origin_document(before));
    REQUIRE(after);
    CHECK(origin_document(*after) == origin_document(before));
    CHECK(after->name == "tern.quaycell");
    CHECK(after->read_as == ReadAs::recorded);
    REQUIRE(after->parts.size() == 2);
    const OriginPart& part = after->parts[0];
    REQUIRE(part.logger);
    CHECK(part.logger->firmware_build == 0xdeadbeef);
    CHECK(part.logger->first_seen == at(1'770'000'000'123));
    REQUIRE(part.logger->calibration);
    CHECK(part.logger->calibration->unix_s == 1'770'000'000);
    CHECK(part.spent == before.parts[0].spent);
    REQUIRE(part.corrections.size() == 1);
    CHECK(part.corrections[0].part == before.parts[0].corrections[0].part);
    CHECK(part.corrections[0].why == "it said \"brackish\" \x01");
    CHECK_FALSE(after->parts[1].logger);
    REQUIRE(after->cell_checks.size() == 1);
    CHECK(after->cell_checks[0].difference_mv == -2.125);
    CHECK(after->remarks == before.remarks);
    REQUIRE(after->notes.size() == 1);
    CHECK(after->notes[0].device == 0xa1b2);
    CHECK(after->notes[0].at == at(6));
    CHECK(after->notes[0].text == before.notes[0].text);
    CHECK(after->notes[0].author == "Cleo");
    CHECK(after->notes[0].written_at == at(7));
}

TEST_CASE("a document of another kind is refused") {
    const std::string sound = origin_document(full());
    for (const std::string& document :
         {std::string(), std::string("[]"), std::string("{}"), sound.substr(0, sound.size() / 2),
          std::string(sound).replace(sound.find("41394"), 5, "-1"),
          std::string(sound).replace(sound.find("\"circuit_hex\": \"0"), 16,
                                     "\"circuit_hex\": \"x"),
          std::string(sound).replace(sound.find("\"archive\": true"), 15, "\"archive\": \"so\"")}) {
        const auto origin = parse_origin(document);
        REQUIRE_FALSE(origin);
        CHECK(origin.error().code == ErrorCode::wrong_input);
    }
}

TEST_CASE("a CSV gives its trace, called after the file that it was") {
    const Attachment file =
        csv("time,potential_mv,cell_scale\n2026-05-04T06:00:00Z,-990,agcl/open\n");
    const auto sourced = trace_from(of_csv(), std::span(&file, 1));
    REQUIRE(sourced);
    CHECK(sourced->trace.name == "week.csv");
    CHECK(sourced->trace.time.size() == 1);
}

TEST_CASE("readings that are missing, cut or were never written are named") {
    const auto gone = trace_from(of_csv(), {});
    REQUIRE_FALSE(gone);
    CHECK(gone.error().where == "source.csv");

    TraceOrigin origin = full();
    origin.parts.resize(1);
    for (const std::string& bytes :
         {std::string(31, 'x'), std::string(64, 'x'), std::string(32, '\0')}) {
        const Attachment file{"records-3.bin", "", "", bytes};
        const auto damaged = trace_from(origin, std::span(&file, 1));
        REQUIRE_FALSE(damaged);
        CHECK(damaged.error().code == ErrorCode::damaged);
        CHECK(damaged.error().where == "records-3.bin");
    }
    CHECK_FALSE(trace_from(TraceOrigin{}, {}));
}
