// EEPROM by bytes; a write takes 3.4 ms, which is waited for before the next access, unless the
// byte is what it is to be.
#pragma once

#include <avr/eeprom.h>

namespace quaycell {
namespace atmega328p {

class Eeprom {
  public:
    static uint8_t read(uint16_t address) { return eeprom_read_byte(at(address)); }
    static void write(uint16_t address, uint8_t value) { eeprom_update_byte(at(address), value); }

  private:
    static uint8_t* at(uint16_t address) { return reinterpret_cast<uint8_t*>(address); }
};

} // namespace atmega328p
} // namespace quaycell
