#include "bench/mcu/firmware.h"

#include "bench/mcu/malloced.h"

#include <fmt/format.h>
#include <sim_avr.h>
#include <sim_elf.h>

#include <cstdarg>
#include <cstring>

namespace quaycell::bench {

namespace {

// The ELF keeps data space apart from flash by this offset.
constexpr std::uint32_t data_space = 0x800000;

void say_nothing(avr_t*, const int, const char*, va_list) {}

} // namespace

std::optional<std::uint32_t> misread_skip(std::span<const std::uint8_t> flash) {
    const auto word = [&](std::size_t at) { return flash[at] | (flash[at + 1] << 8U); };
    for (std::size_t at = 0; at + 4 <= flash.size(); at += 2) {
        const auto skip = word(at), passed_over = word(at + 2);
        const bool skips = (skip & 0xFC00) == 0x1000 ||            // CPSE
                           (skip & 0xFC08) == 0xFC00 ||            // SBRC, SBRS
                           (skip & 0xFD00) == 0x9900;              // SBIC, SBIS
        const bool is_one_word = (passed_over & 0xFE00) == 0x9600; // ADIW, SBIW
        if (skips && is_one_word && (passed_over & 0x0C) == 0x0C)
            return static_cast<std::uint32_t>(at);
    }
    return std::nullopt;
}

Firmware read_firmware(const std::filesystem::path& elf) {
    if (!std::filesystem::exists(elf))
        throw WrongInput(fmt::format("{}: no such file. Build the target quaycell_logger, or name "
                                     "the firmware with --firmware",
                                     elf.string()));
    // The loader reports to stdout, which belongs to the bench's own answers.
    avr_global_logger_set(say_nothing);
    elf_firmware_t loaded{};
    const bool read = elf_read_firmware(elf.c_str(), &loaded) == 0;
    const Malloced<std::uint8_t> flash{loaded.flash};
    const Malloced<std::uint8_t> eeprom{loaded.eeprom};
    const Malloced<avr_symbol_t*> symbols{loaded.symbol};
    if (!read || loaded.flashsize == 0)
        throw WrongInput(fmt::format("{}: not an AVR ELF with a program in it. Give the logger's "
                                     ".elf, not its .hex",
                                     elf.string()));

    Firmware firmware{{flash.get(), flash.get() + loaded.flashsize}, 0};
    if (const auto skip = misread_skip(firmware.flash))
        throw WrongInput(
            fmt::format("{}: libsimavr 1.6 would run this wrongly: it takes the ADIW or "
                        "SBIW behind the skip at 0x{:04x} for a CALL. Write what is "
                        "there another way, often a signed number divided by 16, 32 "
                        "or 64",
                        elf.string(), *skip));
    for (std::uint32_t i = 0; i < loaded.symbolcount; ++i) {
        const Malloced<avr_symbol_t> symbol{loaded.symbol[i]};
        const char* const name = reinterpret_cast<const char*>(symbol.get()) + sizeof(avr_symbol_t);
        if (std::strcmp(name, "_end") == 0)
            firmware.ram_end = static_cast<std::uint16_t>(symbol->addr - data_space);
    }
    if (firmware.ram_end == 0)
        throw WrongInput(fmt::format("{}: no symbol _end, so the stack cannot be measured. Do not "
                                     "strip the firmware",
                                     elf.string()));
    return firmware;
}

} // namespace quaycell::bench
