// run_avr_check FILE.elf: runs the wire checks that avr-g++ built on a simulated ATmega328P and
// fails with the name of the first one that does not pass.
#include "wire_checks.h"

#include <cstdio>
#include <iterator>
#include <sim_avr.h>
#include <sim_elf.h>

int main(int argc, char** argv) {
    elf_firmware_t firmware = {};
    if (argc != 2 || elf_read_firmware(argv[1], &firmware) != 0) {
        std::fprintf(stderr, "usage: run_avr_check FILE.elf, built for the ATmega328P\n");
        return 2;
    }
    avr_t* avr = avr_make_mcu_by_name("atmega328p");
    if (avr == nullptr) return 2;
    avr_init(avr);
    avr_load_firmware(avr, &firmware);

    constexpr avr_cycle_count_t patience = 4'000'000'000;
    int state = cpu_Running;
    while (state != cpu_Done && state != cpu_Crashed && avr->cycle < patience)
        state = avr_run(avr);

    constexpr int gpior0 = 0x3E;
    const unsigned passed = avr->data[gpior0];
    const std::size_t all = std::size(quaycell::test::wire_checks);
    if (state == cpu_Done && passed == all) {
        std::printf("all %zu checks pass\n", all);
        return 0;
    }
    if (state == cpu_Done && passed < all) {
        std::fprintf(stderr, "does not pass: %s\n", quaycell::test::wire_checks[passed].name);
    } else {
        std::fprintf(stderr, "crashed or never ended, after %u checks\n", passed);
    }
    return 1;
}
