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
