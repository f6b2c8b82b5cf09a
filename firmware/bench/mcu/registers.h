// Addresses in data space and bits of the ATmega328P that the bench plays itself.
// Source: the microcontroller's data sheet, register summary (from memory, agreed with avr-libc's
// iom328p.h).
#pragma once

#include <cstdint>

namespace quaycell::bench::reg {

constexpr std::uint16_t PINB = 0x23, PINC = 0x26, PIND = 0x29; // then DDRx, PORTx
constexpr std::uint16_t PCIFR = 0x3B, EIMSK = 0x3D;
constexpr std::uint16_t EECR = 0x3F, EEDR = 0x40, EEARL = 0x41, EEARH = 0x42;
constexpr std::uint16_t SPCR = 0x4C, SPSR = 0x4D, SPDR = 0x4E;
constexpr std::uint16_t SMCR = 0x53, MCUSR = 0x54, MCUCR = 0x55;
constexpr std::uint16_t WDTCSR = 0x60, CLKPR = 0x61, PRR = 0x64;
constexpr std::uint16_t PCICR = 0x68, PCMSK0 = 0x6B;
constexpr std::uint16_t ADCL = 0x78, ADCH = 0x79, ADCSRA = 0x7A, ADCSRB = 0x7B, ADMUX = 0x7C;
constexpr std::uint16_t TWBR = 0xB8, TWSR = 0xB9, TWDR = 0xBB, TWCR = 0xBC;
constexpr std::uint16_t UCSR0A = 0xC0, UCSR0B = 0xC1, UBRR0L = 0xC4, UBRR0H = 0xC5, UDR0 = 0xC6;

} // namespace quaycell::bench::reg

namespace quaycell::bench {

/// One bit of a register.
struct Bit {
    std::uint16_t address;
    std::uint8_t number;
    constexpr std::uint8_t mask() const { return static_cast<std::uint8_t>(1U << number); }
};

namespace bits {

constexpr Bit EEMPE{reg::EECR, 2}, EEPE{reg::EECR, 1}, EERE{reg::EECR, 0}, EERIE{reg::EECR, 3};
constexpr Bit SPIE{reg::SPCR, 7}, SPE{reg::SPCR, 6}, MSTR{reg::SPCR, 4};
constexpr Bit SPIF{reg::SPSR, 7}, WCOL{reg::SPSR, 6}, SPI2X{reg::SPSR, 0};
constexpr Bit SE{reg::SMCR, 0};
constexpr Bit BODS{reg::MCUCR, 6}, BODSE{reg::MCUCR, 5};
constexpr Bit WDIF{reg::WDTCSR, 7}, WDIE{reg::WDTCSR, 6}, WDCE{reg::WDTCSR, 4}, WDE{reg::WDTCSR, 3};
constexpr Bit PORF{reg::MCUSR, 0}, EXTRF{reg::MCUSR, 1}, BORF{reg::MCUSR, 2}, WDRF{reg::MCUSR, 3};
constexpr Bit PRTWI{reg::PRR, 7}, PRSPI{reg::PRR, 2}, PRUSART0{reg::PRR, 1}, PRADC{reg::PRR, 0};
constexpr Bit ADEN{reg::ADCSRA, 7}, ADSC{reg::ADCSRA, 6}, ADATE{reg::ADCSRA, 5},
    ADIF{reg::ADCSRA, 4}, ADIE{reg::ADCSRA, 3}, ADLAR{reg::ADMUX, 5};
constexpr Bit TWINT{reg::TWCR, 7}, TWEA{reg::TWCR, 6}, TWSTA{reg::TWCR, 5}, TWSTO{reg::TWCR, 4},
    TWWC{reg::TWCR, 3}, TWEN{reg::TWCR, 2}, TWIE{reg::TWCR, 0};
constexpr Bit RXC0{reg::UCSR0A, 7}, TXC0{reg::UCSR0A, 6}, UDRE0{reg::UCSR0A, 5},
    DOR0{reg::UCSR0A, 3}, U2X0{reg::UCSR0A, 1};
constexpr Bit RXCIE0{reg::UCSR0B, 7}, TXCIE0{reg::UCSR0B, 6}, UDRIE0{reg::UCSR0B, 5},
    RXEN0{reg::UCSR0B, 4}, TXEN0{reg::UCSR0B, 3};

} // namespace bits

/// Interrupt vectors, numbered from reset = 0.
namespace vector {

constexpr std::uint8_t pin_change_0 = 3, watchdog = 6, spi = 17, uart_received = 18,
                       uart_data_empty = 19, uart_sent = 20, adc = 21, eeprom = 22, twi = 24;

} // namespace vector

} // namespace quaycell::bench
