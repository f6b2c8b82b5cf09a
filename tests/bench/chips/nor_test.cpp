#include "bench/chips/nor.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <initializer_list>
#include <vector>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

struct Chip {
    explicit Chip(std::vector<WornSector> worn = {}) : nor(2, findings, std::move(worn)) {}

    Findings findings;
    Nor nor;
    Time now{0};

    std::vector<int> command(std::initializer_list<int> sent, std::size_t more = 0) {
        std::vector<int> answers;
        nor.select(true, now);
        for (const int byte : sent)
            answers.push_back(nor.exchange(static_cast<std::uint8_t>(byte), now));
        for (std::size_t i = 0; i < more; ++i)
            answers.push_back(nor.exchange(0, now));
        nor.select(false, now);
        return answers;
    }
    void program(int address, std::initializer_list<int> data) {
        command({0x06});
        std::vector<int> sent{0x02, address >> 16, address >> 8 & 0xFF, address & 0xFF};
        nor.select(true, now);
        sent.insert(sent.end(), data);
        for (const int byte : sent)
            nor.exchange(static_cast<std::uint8_t>(byte), now);
        nor.select(false, now);
        now += 1ms;
    }
    void erase(int address) {
        command({0x06});
        command({0x20, address >> 16, address >> 8 & 0xFF, address & 0xFF});
    }
    int at(std::size_t address) {
        const auto bytes =
            command({0x03, static_cast<int>(address >> 16), static_cast<int>(address >> 8 & 0xFF),
                     static_cast<int>(address & 0xFF)},
                    1);
        return bytes.back();
    }
};

} // namespace

TEST_CASE("a flash that is absent or dumb answers nothing, keeps what it holds and comes back") {
    Chip chip;
    chip.program(0x100, {0x12});
    chip.nor.become(NorState::dumb, chip.now, 1);
    CHECK(chip.command({0x9F}, 3) == std::vector{0, 0, 0, 0});
    chip.program(0x200, {0x34});
    chip.nor.become(NorState::absent, chip.now, 1);
    CHECK(chip.command({0x9F}, 3) == std::vector{0xFF, 0xFF, 0xFF, 0xFF});
    chip.command({0xB9});
    chip.nor.become(NorState::ok, chip.now, 1);
    CHECK(chip.command({0x9F}, 3) == std::vector{0xFF, 0xEF, 0x40, 0x15});
    CHECK(chip.at(0x100) == 0x12);
    CHECK(chip.at(0x200) == 0xFF);
    CHECK(chip.findings.count() == 0);
}

TEST_CASE("an erase is torn when the flash's supply goes, and goes on when it only falls dumb") {
    Chip chip;
    chip.program(0, {0x12});
    SUBCASE("absent") {
        chip.erase(0);
        chip.now += 20ms;
        chip.nor.become(NorState::absent, chip.now, 1);
        chip.now += 1s;
        chip.nor.become(NorState::ok, chip.now, 1);
        CHECK(std::ranges::count(chip.nor.image().first(4096), 0xFF) < 4096);
    }
    SUBCASE("dumb") {
        chip.erase(0);
        chip.now += 20ms;
        chip.nor.become(NorState::dumb, chip.now, 1);
        chip.now += 1s;
        chip.nor.become(NorState::ok, chip.now, 1);
        CHECK(chip.at(0) == 0xFF);
    }
}

TEST_CASE("the flash tells maker, family and size") {
    Chip chip;
    CHECK(chip.command({0x9F}, 3) == std::vector{0xFF, 0xEF, 0x40, 0x15});
    Findings findings;
    CHECK(Nor{16, findings}.image().size() == 16 * 1048576);
}

TEST_CASE("a byte programmed is read back, after the time that takes") {
    Chip chip;
    chip.command({0x06});
    CHECK(chip.command({0x05}, 1)[1] == 0x02); // write enabled
    chip.command({0x02, 0x01, 0x23, 0x45, 0xA7});
    CHECK(chip.command({0x05}, 1)[1] == 0x03); // busy
    CHECK(chip.nor.image()[0x12345] == 0xFF);
    chip.now += 700us;
    CHECK(chip.command({0x05}, 1)[1] == 0x00); // done, and write protected again
    CHECK(chip.at(0x12345) == 0xA7);
    CHECK(chip.findings.empty());
}

TEST_CASE("past the end of its page a program starts over") {
    Chip chip;
    chip.program(0x1FE, {1, 2, 3});
    CHECK(chip.at(0x1FE) == 1);
    CHECK(chip.at(0x1FF) == 2);
    CHECK(chip.at(0x100) == 3);
    CHECK(chip.at(0x200) == 0xFF);
}

TEST_CASE("programming can only clear bits, and doing so twice is told of") {
    Chip chip;
    chip.program(0, {0xF0});
    CHECK(chip.findings.empty());
    chip.program(0, {0xFF}); // leaves the byte alone
    CHECK(chip.findings.empty());
    chip.program(0, {0x3C});
    CHECK(chip.at(0) == 0x30);
    CHECK(chip.findings.count() == 1);
}

TEST_CASE("an erase takes 45 ms and lifts one sector") {
    Chip chip;
    chip.program(0x0FFF, {0});
    chip.program(0x1000, {0});
    chip.program(0x1FFF, {0});
    chip.program(0x2000, {0});
    chip.erase(0x1ABC);
    chip.now += 44ms;
    CHECK(chip.command({0x05}, 1)[1] == 0x03);
    chip.now += 1ms;
    CHECK(chip.command({0x05}, 1)[1] == 0x00);
    CHECK(chip.at(0x0FFF) == 0);
    CHECK(chip.at(0x1000) == 0xFF);
    CHECK(chip.at(0x1FFF) == 0xFF);
    CHECK(chip.at(0x2000) == 0);
    CHECK(chip.findings.empty());
}

TEST_CASE("what the chip would not do is told of and not done") {
    Chip chip;
    SUBCASE("an unknown command") {
        chip.command({0x5A});
    }
    SUBCASE("a program without write enable") {
        chip.command({0x02, 0, 0, 0, 0});
    }
    SUBCASE("an erase of the wrong length") {
        chip.command({0x06});
        chip.command({0x20, 0, 0});
    }
    SUBCASE("a read while it is busy") {
        chip.erase(0);
        chip.command({0x03, 0, 0, 0}, 1);
        chip.now += 1s;
    }
    SUBCASE("a read in deep power-down") {
        chip.command({0xB9});
        CHECK(chip.command({0x9F}, 3) == std::vector{0xFF, 0xFF, 0xFF, 0xFF});
        chip.command({0xAB});
        chip.now += 3us;
    }
    SUBCASE("a command too soon after waking it") {
        chip.command({0xB9});
        chip.command({0xAB});
        chip.now += 2us;
        chip.command({0x05}, 1);
        chip.now += 1us;
    }
    CHECK(chip.findings.count() == 1);
    CHECK(chip.at(0) == 0xFF);
}

TEST_CASE("a busy chip ignores its release from deep power-down, and that is allowed") {
    Chip chip;
    chip.erase(0);
    chip.command({0xAB});
    CHECK(chip.command({0x05}, 1)[1] == 0x03);
    chip.now += 45ms;
    CHECK(chip.command({0x05}, 1)[1] == 0x00);
    CHECK(chip.findings.empty());
}

TEST_CASE("a program cut in the middle leaves some of its bits, and no others") {
    Chip chip;
    chip.command({0x06});
    chip.nor.select(true, chip.now);
    for (const int byte : {0x02, 0, 0, 0})
        chip.nor.exchange(static_cast<std::uint8_t>(byte), chip.now);
    for (int i = 0; i < 128; ++i)
        chip.nor.exchange(0x0F, chip.now);
    chip.nor.select(false, chip.now);
    chip.nor.cut(chip.now + 350us, 1);
    int cleared = 0;
    for (int i = 0; i < 128; ++i) {
        const unsigned byte = chip.nor.image()[static_cast<std::size_t>(i)];
        CHECK((byte & 0x0FU) == 0x0FU);
        cleared += 8 - std::popcount(byte);
    }
    CHECK(cleared > 128); // about half of 512
    CHECK(cleared < 384);
    CHECK(chip.nor.image()[128] == 0xFF);
}

TEST_CASE("an erase cut in the middle leaves its sector in shreds and its neighbours whole") {
    for (const Time when : {Time{5ms}, Time{40ms}}) {
        Chip chip;
        for (int address = 0; address < 3 * 4096; address += 256)
            chip.program(address, {0x55});
        chip.erase(4096);
        chip.nor.cut(chip.now + when, 3);
        const auto sector = chip.nor.image().subspan(4096, 4096);
        const auto is_blank = [](std::uint8_t byte) { return byte == 0xFF; };
        CHECK_FALSE(std::ranges::all_of(sector, is_blank));
        CHECK(std::ranges::count_if(sector, is_blank) < 4096 - 16);
        CHECK(chip.nor.image()[0] == 0x55);
        CHECK(chip.nor.image()[2 * 4096] == 0x55);
    }
}

TEST_CASE("a worn sector takes its time, and nothing changes") {
    Chip chip({{WornSector::What::program, 1}, {WornSector::What::erase, 2}});
    chip.program(4096, {0x55});
    CHECK(chip.at(4096) == 0xFF);
    chip.program(2 * 4096, {0x55});
    for (const Time when : {Time{5ms}, Time{45ms}}) {
        chip.erase(2 * 4096);
        chip.nor.cut(chip.now + when, 3);
        chip.nor.power_on(chip.now + when);
        chip.now += when;
        CHECK(chip.at(2 * 4096) == 0x55);
    }
    chip.program(0, {0x55});
    chip.erase(0);
    chip.now += 45ms;
    CHECK(chip.at(0) == 0xFF);
    CHECK(chip.findings.count() == 0);
}

TEST_CASE("a cut after the operation's time finds it done") {
    Chip chip;
    chip.program(0, {0});
    chip.erase(0);
    chip.nor.cut(chip.now + 45ms, 3);
    chip.nor.power_on(chip.now + 45ms);
    CHECK(chip.at(0) == 0xFF);
}

TEST_CASE("the time is told by what the chip did in it") {
    Chip chip;
    const auto total = [](const NorTime& time) {
        return time.programming + time.erasing + time.selected + time.standby +
               time.deep_power_down;
    };
    chip.program(0, {1, 2, 3});
    chip.now += 10ms;
    chip.erase(4096);
    const Time end = chip.now + 1s;
    const NorTime time = chip.nor.time(end);
    CHECK(time.programming == 700us);
    CHECK(time.erasing == 45ms);
    CHECK(total(time) == end);
    chip.nor.cut(end, 1);
    chip.nor.power_on(end);
    CHECK(total(chip.nor.time(end + 1s)) == end + 1s);
}
