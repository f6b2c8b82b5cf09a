// A collection from a logger that is not there, into an archive that is.
#pragma once

#include "archive/temporary_folder.h"
#include "collect/collect.h"
#include "link/fake_logger.h"

#include <doctest/doctest.h>

namespace quaycell::test {

inline const Timing quick{Milliseconds{10}, 4, Milliseconds{10}};
using Ranges = std::vector<SequenceRange>;

struct Fixture {
    TemporaryFolder folder;
    Archive archive = Archive::open(folder / "a.quaycell", OpenMode::write_create).value();
    FakeLogger fake;

    Result<CollectReport> try_collect(LineFault fault = {}, const Progress& progress = {}) {
        auto logger = Logger::connect(line_to(fake, std::move(fault)), quick);
        REQUIRE(logger);
        fake.reads.clear();
        return collect(*logger, archive, progress);
    }
    CollectReport collected() {
        const auto report = try_collect();
        REQUIRE(report);
        return *report;
    }
    std::vector<RecordBytes> archived() {
        const auto records = archive.records(fake.hello.device_id);
        REQUIRE(records);
        return *records;
    }
    std::uint64_t slots_asked_for() const {
        std::uint64_t count = 0;
        for (const wire::Read& read : fake.reads)
            count += read.count;
        return count;
    }
};

} // namespace quaycell::test
