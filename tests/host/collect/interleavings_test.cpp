// Whatever is done to an archive, in whatever order: it holds what a plain model of it holds.
#include "archive/temporary_folder.h"
#include "collect/collect.h"
#include "collect/flash_image.h"
#include "link/fake_logger.h"

#include <chrono>
#include <cstdlib>
#include <doctest/doctest.h>
#include <map>
#include <random>
#include <set>
#include <sys/wait.h>
#include <thread>
#include <unistd.h>

using namespace quaycell;
using namespace quaycell::test;

namespace {

constexpr std::uint32_t sectors = 16;
constexpr std::uint32_t capacity = sectors * wire::slots_per_sector;
constexpr int steps_each = 14;
const Timing quick{Milliseconds{10}, 4, Milliseconds{10}};

int interleavings() {
    const char* wanted = std::getenv("QUAYCELL_INTERLEAVINGS");
    return wanted ? std::atoi(wanted) : 30;
}
int first_seed() {
    const char* wanted = std::getenv("QUAYCELL_FIRST_SEED");
    return wanted ? std::atoi(wanted) : 1;
}

RecordBytes header_record(std::uint32_t device, std::uint16_t boot, std::uint32_t sequence,
                          std::uint32_t tail) {
    wire::SectorHeader header{};
    header.head = {static_cast<std::uint8_t>(wire::RecordKind::sector_header), 0, boot, sequence,
                   0};
    header.tail_sequence = tail;
    header.device_id = device;
    wire::seal(header);
    RecordBytes bytes;
    wire::to_bytes(header, bytes.data());
    return bytes;
}

/// What an archive must hold of one logger.
struct Held {
    std::map<std::uint32_t, RecordBytes> records;
};

class World {
  public:
    explicit World(int seed) : chance_(static_cast<unsigned>(seed)) {
        for (std::size_t i = 0; i < loggers_.size(); ++i)
            loggers_[i].hello.device_id = 77 + static_cast<std::uint32_t>(i);
        reopen();
    }

    void step() {
        grow(loggers_[pick(2)]);
        switch (pick(9)) {
        case 0:
        case 1:
            return collect_whole(loggers_[pick(2)]);
        case 2:
            return collect_broken(loggers_[pick(2)]);
        case 3:
            return collect_killed(loggers_[pick(2)]);
        case 4:
            return import(loggers_[pick(2)]);
        case 5:
            return note();
        case 6:
            return correct();
        case 7:
            return withdraw();
        default:
            return reopen();
        }
    }

    void finish() {
        for (FakeLogger& logger : loggers_)
            collect_whole(logger);
        reopen();
    }

    void check() {
        for (const FakeLogger& logger : loggers_) {
            const auto records = archive().records(logger.hello.device_id);
            REQUIRE(records);
            std::vector<RecordBytes> expected;
            for (const auto& [sequence, bytes] : held_[logger.hello.device_id].records)
                expected.push_back(bytes);
            CHECK((*records == expected));
        }
        const auto notes = archive().notes();
        REQUIRE(notes);
        std::multiset<std::string> words;
        for (const Note& each : *notes)
            words.insert(each.text);
        CHECK((words == notes_));
        const auto rows = archive().corrections();
        REQUIRE(rows);
        REQUIRE(rows->size() == corrections_.size());
        for (std::size_t i = 0; i < rows->size(); ++i) {
            CHECK((*rows)[i].number == static_cast<std::int64_t>(i + 1));
            CHECK((*rows)[i].kind == corrections_[i].kind);
            CHECK((*rows)[i].value == corrections_[i].value);
            CHECK(((*rows)[i].part == corrections_[i].part));
            CHECK((*rows)[i].why == corrections_[i].why);
        }
    }

  private:
    std::size_t pick(std::size_t below) {
        return std::uniform_int_distribution<std::size_t>(0, below - 1)(chance_);
    }
    bool one_in(std::size_t n) { return pick(n) == 0; }
    Archive& archive() { return *archive_; }

    /// The logger goes on recording; sometimes it restarts, sometimes a power cut tears a slot.
    void grow(FakeLogger& logger) {
        if (one_in(3)) ++logger.hello.boot;
        std::size_t count = pick(400);
        count = std::min(count, capacity - wire::slots_per_sector - logger.slots.size());
        for (std::size_t i = 0; i < count; ++i) {
            const std::uint32_t sequence =
                logger.first + static_cast<std::uint32_t>(logger.slots.size());
            const std::uint32_t device = logger.hello.device_id;
            RecordBytes bytes =
                wire::is_sector_start(sequence)
                    ? header_record(device, logger.hello.boot, sequence, logger.first)
                    : reading_record(logger.hello.boot, sequence,
                                     static_cast<std::int16_t>(-8000 - device));
            if (!wire::is_sector_start(sequence) && one_in(150)) bytes[9] ^= 0x40;
            logger.slots.push_back(bytes);
        }
    }

    std::map<std::uint32_t, RecordBytes> good_of(const FakeLogger& logger) const {
        std::map<std::uint32_t, RecordBytes> good;
        for (std::uint32_t i = 0; i < logger.slots.size(); ++i) {
            const SequencedRecord slot{logger.first + i, logger.slots[i]};
            if (is_good(slot)) good.emplace(slot.sequence, slot.bytes);
        }
        return good;
    }

    void collect_whole(FakeLogger& logger) {
        auto connected = Logger::connect(line_to(logger), quick);
        REQUIRE(connected);
        const auto report = collect(*connected, archive());
        REQUIRE(report);
        Held& held = held_[logger.hello.device_id];
        const auto good = good_of(logger);
        CHECK(report->added == good.size() - held.records.size());
        held.records = good;
        const auto next = logger.first + static_cast<std::uint32_t>(logger.slots.size());
        CHECK(archive().missing(logger.hello.device_id, logger.first, next)->empty());
        const auto again = collect(*connected, archive());
        REQUIRE(again);
        CHECK(again->added == 0);
    }

    /// What came before a break is there, and nothing that the logger does not hold.
    void take_over_what_came(const FakeLogger& logger) {
        Held& held = held_[logger.hello.device_id];
        const auto records = archive().records(logger.hello.device_id);
        REQUIRE(records);
        const auto good = good_of(logger);
        std::map<std::uint32_t, RecordBytes> came;
        for (const RecordBytes& bytes : *records) {
            const auto sequence = wire::from_bytes<wire::RecordHead>(bytes.data()).sequence;
            const auto truth = good.find(sequence);
            REQUIRE((truth != good.end()));
            CHECK((truth->second == bytes));
            CHECK(came.emplace(sequence, bytes).second);
        }
        for (const auto& [sequence, bytes] : held.records)
            CHECK(came.contains(sequence));
        held.records = came;
    }

    void collect_broken(FakeLogger& logger) {
        std::size_t left = pick(20'000);
        const auto fault = [&](Bytes& said) {
            if (said.size() > left) said.resize(left);
            left -= said.size();
        };
        if (auto connected = Logger::connect(line_to(logger, fault), quick))
            (void)collect(*connected, archive());
        take_over_what_came(logger);
    }

    /// Another process collects and is killed.
    void collect_killed(FakeLogger& logger) {
        archive_.reset();
        const std::chrono::microseconds after{pick(40'000)};
        const pid_t child = fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            if (auto opened = Archive::open(folder_ / "a.quaycell", OpenMode::write_create))
                if (auto connected = Logger::connect(line_to(logger), quick))
                    (void)collect(*connected, *opened);
            _exit(0);
        }
        std::this_thread::sleep_for(after);
        kill(child, SIGKILL);
        REQUIRE(waitpid(child, nullptr, 0) == child);
        reopen();
        take_over_what_came(logger);
    }

    /// A programmer's copy of the flash.
    void import(const FakeLogger& logger) {
        if (logger.slots.size() < 2) return; // a header alone is no log
        std::vector<std::uint8_t> bytes(capacity * std::size_t{wire::record_size}, 0xFF);
        for (std::uint32_t i = 0; i < logger.slots.size(); ++i)
            std::ranges::copy(logger.slots[i], bytes.begin() + (logger.first + i) % capacity *
                                                                   std::int64_t{wire::record_size});
        const auto image = read_flash_image(bytes, "copy.bin");
        REQUIRE(image);
        REQUIRE(import_flash(archive(), *image));
        // A header that nothing was written behind is not believed.
        Held& held = held_[logger.hello.device_id];
        for (const auto& [sequence, record] : good_of(logger))
            if (sequence < image->tail + image->slots.size())
                held.records.emplace(sequence, record);
    }

    void note() {
        const std::string words = "seen " + std::to_string(pick(1'000'000));
        REQUIRE(archive().put_note({one_in(2) ? 77U : 0U,
                                    from_unix_s(static_cast<int>(pick(1'000'000))), words, "owner",
                                    from_unix_s(2'000'000)}));
        notes_.insert(words);
    }

    void keep(CorrectionRow row) {
        REQUIRE(archive().put_correction(row, static_cast<std::int64_t>(corrections_.size())));
        corrections_.push_back(std::move(row));
        // Whoever did not know of it is refused.
        CHECK_FALSE(archive().put_correction(corrections_.back(),
                                             static_cast<std::int64_t>(corrections_.size()) - 1));
    }

    void correct() {
        CorrectionRow row;
        row.part = {{false, 77, 3, static_cast<std::uint32_t>(pick(500))},
                    static_cast<std::uint32_t>(500 + pick(500)),
                    one_in(4),
                    one_in(4)};
        row.kind = "moved-times";
        row.value = std::to_string(pick(5000));
        row.why = "clock " + std::to_string(pick(1000));
        row.author = "owner";
        keep(row);
    }

    void withdraw() {
        if (corrections_.empty()) return;
        CorrectionRow row = corrections_[pick(corrections_.size())];
        row.kind = withdrawal;
        row.value = std::to_string(1 + pick(corrections_.size()));
        row.why = "it was right";
        keep(row);
    }

    void reopen() {
        archive_.reset();
        const auto mode = OpenMode::write_create;
        archive_.emplace(Archive::open(folder_ / "a.quaycell", mode).value());
        CHECK(archive_->losses().empty());
    }

    std::mt19937 chance_;
    TemporaryFolder folder_;
    std::optional<Archive> archive_;
    std::array<FakeLogger, 2> loggers_;
    std::map<std::uint32_t, Held> held_;
    std::multiset<std::string> notes_;
    std::vector<CorrectionRow> corrections_;
};

} // namespace

TEST_CASE("an archive holds what was put into it, in whatever order things happen") {
    for (int seed = first_seed(); seed < first_seed() + interleavings(); ++seed) {
        CAPTURE(seed); // QUAYCELL_FIRST_SEED=seed QUAYCELL_INTERLEAVINGS=1 does it again
        World world(seed);
        for (int step = 0; step < steps_each; ++step) {
            CAPTURE(step);
            world.step();
            world.check();
        }
        world.finish();
        world.check();
    }
}
