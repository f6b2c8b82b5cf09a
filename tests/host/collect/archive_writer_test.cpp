#include "collect/archive_writer.h"

#include "archive/temporary_folder.h"
#include "link/fake_logger.h"

#include <doctest/doctest.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

struct Fixture {
    TemporaryFolder folder;
    Archive archive = Archive::open(folder / "a.quaycell", OpenMode::write_create).value();
};

SequencedRecord slot(std::uint32_t sequence) {
    return {sequence, reading_record(3, sequence)};
}

} // namespace

TEST_CASE_FIXTURE(Fixture, "jobs are done in the order in which they were asked for") {
    ArchiveWriter writer(archive);
    std::vector<std::future<Result<AddCounts>>> adding;
    for (std::uint32_t i = 0; i < 20; ++i)
        adding.push_back(writer.ask([i](Archive& held) {
            return held.add(77, std::vector{slot(i), slot(i + 1)});
        }));
    std::uint64_t already_held = 0;
    for (auto& added : adding)
        already_held += added.get()->already_held;
    CHECK(already_held == 19);
}

TEST_CASE_FIXTURE(Fixture, "several threads may ask at once, and nothing is lost") {
    {
        ArchiveWriter writer(archive);
        std::vector<std::jthread> threads;
        for (std::uint32_t device = 1; device <= 8; ++device)
            threads.emplace_back([&writer, device] {
                for (std::uint32_t i = 0; i < 5; ++i)
                    CHECK(writer
                              .ask([=](Archive& held) {
                                  return held.add(device, std::vector{slot(i)});
                              })
                              .get());
            });
    }
    for (std::uint32_t device = 1; device <= 8; ++device)
        CHECK(archive.records(device)->size() == 5);
}

TEST_CASE_FIXTURE(Fixture, "what was asked for is done even if nobody waits for it") {
    {
        ArchiveWriter writer(archive);
        for (std::uint32_t i = 0; i < 20; ++i)
            writer.ask([i](Archive& held) { return held.add(77, std::vector{slot(i)}); });
    }
    CHECK(archive.records(77)->size() == 20);
}

TEST_CASE_FIXTURE(Fixture, "an error goes back to whoever asked") {
    ArchiveWriter writer(archive);
    const auto found = writer.ask([](Archive& held) { return held.logger(99); }).get();
    REQUIRE_FALSE(found);
    CHECK(found.error().code == ErrorCode::not_found);
}
