#include "chips/ads1115.h"
#include "chips/calendar.h"
#include "chips/ds3231.h"
#include "chips/nor_flash.h"

#include <doctest/doctest.h>
#include <map>
#include <optional>
#include <vector>

using namespace quaycell;

namespace {

/// Remembers what was written, by chip and register, and reads it back.
struct Bus {
    std::map<int, std::vector<uint8_t>> registers; // one byte per register, or one word
    std::vector<std::vector<uint8_t>> written;
    bool answers = true;
    std::vector<uint8_t> memory = std::vector<uint8_t>(32, 0);

    bool write(uint8_t, const uint8_t* bytes, uint8_t count) {
        written.emplace_back(bytes, bytes + count);
        for (uint8_t i = 1; i < count; ++i)
            memory.at(bytes[0] + i - 1U) = bytes[i];
        return answers;
    }
    bool read(uint8_t, uint8_t reg, uint8_t* bytes, uint8_t count) {
        for (uint8_t i = 0; i < count; ++i)
            bytes[i] = memory.at(reg + static_cast<size_t>(i));
        return answers;
    }
};

/// A flash that answers its id and remembers the commands.
struct Spi {
    std::vector<std::vector<uint8_t>> commands{};
    std::vector<uint8_t> id{0xEF, 0x40, 0x18};
    uint8_t status = 0;
    uint32_t busy_polls = 0; ///< how often its status says busy; meanwhile it tells nothing else

    void select() { commands.emplace_back(); }
    void release() {}
    uint8_t exchange(uint8_t byte) {
        std::vector<uint8_t>& c = commands.back();
        c.push_back(byte);
        if (c.size() == 1) return 0xFF;
        if (busy_polls != 0) {
            if (c[0] != 0x05) return 0xFF;
            --busy_polls;
            return 0x01;
        }
        if (c[0] == 0x9F) return id.at(c.size() - 2);
        return c[0] == 0x05 ? status : 0xFF;
    }
    void receive(uint8_t* bytes, uint16_t count) {
        for (uint16_t i = 0; i < count; ++i)
            bytes[i] = exchange(0);
    }
};
struct Delay {
    static void microseconds(uint8_t) {}
};

} // namespace

TEST_CASE("calendar: known instants") {
    // From the definition of unix time and `date -u -d ... +%s`.
    const std::map<uint32_t, std::vector<int>> known = {
        {946684800, {2000, 1, 1, 0, 0, 0}},      {951782400, {2000, 2, 29, 0, 0, 0}},
        {1078012799, {2004, 2, 28, 23, 59, 59}}, {1772323199, {2026, 2, 28, 23, 59, 59}},
        {1772323200, {2026, 3, 1, 0, 0, 0}},     {4102444799, {2099, 12, 31, 23, 59, 59}}};
    for (const auto& [unix_s, parts] : known) {
        CAPTURE(unix_s);
        const chips::Civil c = chips::from_unix(unix_s);
        CHECK(c.year + 2000 == parts[0]);
        CHECK(c.month == parts[1]);
        CHECK(c.day == parts[2]);
        CHECK(c.hour == parts[3]);
        CHECK(c.minute == parts[4]);
        CHECK(c.second == parts[5]);
        CHECK(chips::is_civil(c));
        CHECK(chips::to_unix(c) == unix_s);
    }
}

TEST_CASE("calendar: every day of the century there and back") {
    for (uint32_t s = 946684800 + 40271; s < 4102444800U; s += 86400)
        if (chips::to_unix(chips::from_unix(s)) != s) FAIL(s);
}

TEST_CASE("calendar: what is no time is told apart") {
    chips::Civil c = chips::from_unix(1772323199);
    SUBCASE("day") {
        c.day = 29;
    }
    SUBCASE("day 0") {
        c.day = 0;
    }
    SUBCASE("month") {
        c.month = 13;
    }
    SUBCASE("hour") {
        c.hour = 24;
    }
    SUBCASE("second") {
        c.second = 60;
    }
    CHECK_FALSE(chips::is_civil(c));
}

TEST_CASE("clock: time goes in and comes out in the chip's decimal registers") {
    Bus bus;
    chips::Ds3231<Bus> clock(bus);
    CHECK(clock.set_time(1772323199)); // 2026-02-28 23:59:59
    CHECK(bus.memory[0] == 0x59);
    CHECK(bus.memory[1] == 0x59);
    CHECK(bus.memory[2] == 0x23);
    CHECK(bus.memory[4] == 0x28);
    CHECK(bus.memory[5] == 0x02);
    CHECK(bus.memory[6] == 0x26);
    uint32_t unix_s = 0;
    CHECK(clock.read_time(unix_s));
    CHECK(unix_s == 1772323199);
    bus.memory[1] = 0x61;
    CHECK_FALSE(clock.read_time(unix_s));
    bus.memory[1] = 0x59;
    bus.answers = false;
    CHECK_FALSE(clock.read_time(unix_s));
}

TEST_CASE("clock: the alarm matches hour, minute and second, drives INT from the battery pin") {
    Bus bus;
    chips::Ds3231<Bus> clock(bus);
    CHECK(clock.begin());
    CHECK(bus.memory[0x0E] == 0x45); // BBSQW, INTCN, A1IE
    bus.memory[0x0F] = 0x83;         // stopped once, both alarms gone off
    bool lost = false;
    int16_t board = 0;
    CHECK(clock.read_health(lost, board));
    CHECK(lost);
    CHECK(clock.set_alarm(1772323199));
    CHECK(bus.memory[0x07] == 0x59);
    CHECK(bus.memory[0x08] == 0x59);
    CHECK(bus.memory[0x09] == 0x23);
    CHECK(bus.memory[0x0A] == 0x80);
    CHECK(bus.memory[0x0F] == 0x80); // alarm released, "stopped" kept until the clock is set
    CHECK(clock.set_time(1772323199));
    CHECK(bus.memory[0x0F] == 0x00);
}

TEST_CASE("clock: board temperature in quarters of a degree, below zero too") {
    Bus bus;
    chips::Ds3231<Bus> clock(bus);
    bool lost = true;
    int16_t board = 0;
    bus.memory[0x11] = 0x19; // 25.25 degC, the data sheet's example
    bus.memory[0x12] = 0x40;
    CHECK(clock.read_health(lost, board));
    CHECK(board == 101);
    CHECK_FALSE(lost);
    bus.memory[0x11] = 0xF6; // -9.75 degC
    bus.memory[0x12] = 0x40;
    CHECK(clock.read_health(lost, board));
    CHECK(board == -39);
}

/// A converter that keeps its registers, or says the same whatever it is asked.
struct WordBus {
    std::vector<std::vector<uint8_t>> written{};
    std::map<uint8_t, uint16_t> words{{0, 0xFFFE}};
    std::optional<uint16_t> rubbish{};
    bool write(uint8_t address, const uint8_t* bytes, uint8_t count) {
        CHECK(address == 0x48);
        written.emplace_back(bytes, bytes + count);
        words[bytes[0]] = static_cast<uint16_t>(bytes[1] << 8 | bytes[2]);
        return true;
    }
    bool read(uint8_t, uint8_t reg, uint8_t* bytes, uint8_t) {
        const uint16_t value = rubbish.value_or(words.at(reg));
        bytes[0] = static_cast<uint8_t>(value >> 8);
        bytes[1] = static_cast<uint8_t>(value & 0xFF);
        return true;
    }
};

TEST_CASE("converter: what talks rubbish is not taken for one") {
    for (const uint16_t rubbish : std::vector<uint16_t>{0x0000, 0xFFFF, 0x8000, 0x1234, 0x8583}) {
        CAPTURE(rubbish);
        WordBus bus;
        chips::Ads1115<WordBus> converter(bus);
        converter.start(logger::Input::cell_a);
        bus.rubbish = rubbish;
        int16_t code = 0;
        CHECK(converter.result(code) == logger::Conversion::failed);
        if (rubbish != 0x8000) CHECK_FALSE(converter.begin()); // the one word that begin() sets
    }
}

TEST_CASE("converter: the config words of the three inputs and the ready pin") {
    WordBus bus;
    chips::Ads1115<WordBus> converter(bus);
    CHECK(converter.begin());
    CHECK(bus.written[0] == std::vector<uint8_t>{2, 0x00, 0x00});
    CHECK(bus.written[1] == std::vector<uint8_t>{3, 0x80, 0x00});
    converter.start(logger::Input::cell_a);
    converter.start(logger::Input::zero);
    converter.start(logger::Input::reference);
    CHECK(bus.written[2] == std::vector<uint8_t>{1, 0x95, 0x00});
    CHECK(bus.written[3] == std::vector<uint8_t>{1, 0xB5, 0x00});
    CHECK(bus.written[4] == std::vector<uint8_t>{1, 0xF5, 0x00});
    int16_t code = 0;
    bus.words[1] = 0x7500; // as the chip shows it while it converts
    CHECK(converter.result(code) == logger::Conversion::running);
    bus.words[1] = 0xF500;
    CHECK(converter.result(code) == logger::Conversion::done);
    CHECK(code == -2);
}

TEST_CASE("flash: the size comes from the id, and a foreign or missing chip has none") {
    for (const auto& [capacity, sectors] : std::map<uint8_t, uint16_t>{
             {0x14, 0}, {0x15, 512}, {0x16, 1024}, {0x17, 2048}, {0x18, 4096}, {0x19, 0}}) {
        Spi spi;
        spi.id[2] = capacity;
        chips::NorFlash<Spi, Delay> flash(spi);
        CHECK(flash.begin() == (sectors != 0));
        CHECK(flash.sector_count() == sectors);
    }
    Spi nothing;
    nothing.id = {0xFF, 0xFF, 0xFF};
    chips::NorFlash<Spi, Delay> flash(nothing);
    CHECK_FALSE(flash.begin());
}

TEST_CASE("flash: one that a reset left erasing is waited for, but not for ever") {
    Spi spi;
    chips::NorFlash<Spi, Delay> flash(spi);
    SUBCASE("an erase that ends") {
        spi.busy_polls = 400'000 / 20; // the longest erase, at 20 us a poll
        CHECK(flash.begin());
        CHECK(flash.sector_count() == 4096);
    }
    SUBCASE("one that never ends") {
        spi.busy_polls = UINT32_MAX;
        CHECK_FALSE(flash.begin());
        CHECK(flash.sector_count() == 0);
    }
}

TEST_CASE("flash: it is woken once, written with leave, and put to rest when it is not busy") {
    Spi spi;
    chips::NorFlash<Spi, Delay> flash(spi);
    flash.begin();
    spi.commands.clear();
    const uint8_t bytes[2] = {0x11, 0x22};
    flash.program(0x012340, bytes, 2);
    REQUIRE(spi.commands.size() == 3);
    CHECK(spi.commands[0] == std::vector<uint8_t>{0x06});
    CHECK(spi.commands[1] == std::vector<uint8_t>{0x02, 0x01, 0x23, 0x40, 0x11, 0x22});
    spi.commands.clear();
    spi.status = 0x01;
    flash.start_erase(0x012000);
    flash.rest(); // busy: it would not listen
    CHECK(flash.busy());
    spi.status = 0x00;
    flash.rest();
    CHECK(spi.commands.back() == std::vector<uint8_t>{0xB9});
    spi.commands.clear();
    CHECK_FALSE(flash.busy());
    CHECK(spi.commands.empty()); // asleep: not even asked
    uint8_t back = 0;
    flash.read(0, &back, 1);
    CHECK(spi.commands[0] == std::vector<uint8_t>{0xAB});
}
