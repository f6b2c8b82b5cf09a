// Experiments on the simulated microcontroller, one per command byte; each answers a fixed number
// of bytes over the UART.
#include "board/pins.h"

#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/sleep.h>

namespace {

void send(uint8_t byte) {
    while ((UCSR0A & (1U << UDRE0)) == 0) {
    }
    UCSR0A |= 1U << TXC0;
    UDR0 = byte;
}

void send16(uint16_t value) {
    send(static_cast<uint8_t>(value & 0xFF));
    send(static_cast<uint8_t>(value >> 8));
}

uint8_t receive() {
    while ((UCSR0A & (1U << RXC0)) == 0) {
    }
    return UDR0;
}

// Timer 1 counts clock cycles, by 8 where 65536 would not do.
void start_count(uint8_t prescaler) {
    TCCR1B = 0;
    TCNT1 = 0;
    TCCR1B = prescaler;
}

uint8_t twi(uint8_t control) {
    TWCR = static_cast<uint8_t>(control | (1U << TWINT) | (1U << TWEN));
    uint16_t turns = 2000;
    while ((TWCR & (1U << TWINT)) == 0 && --turns != 0) {
    }
    return turns == 0 ? 0 : TWSR & 0xF8;
}

uint8_t twi_byte(uint8_t byte) {
    TWDR = byte;
    return twi(0);
}

// The statuses of a polled read of two registers of the clock chip, then of an absent chip.
void two_wire() {
    TWBR = 2;
    send(twi(1U << TWSTA));
    send(twi_byte(quaycell::board::clock_address << 1));
    send(twi_byte(0x0E));
    send(twi(1U << TWSTA));
    send(twi_byte(static_cast<uint8_t>(quaycell::board::clock_address << 1 | 1)));
    start_count(1U << CS10);
    const uint8_t status = twi(1U << TWEA);
    const uint16_t cycles = TCNT1;
    send(status);
    send16(cycles);
    send(TWDR);
    send(twi(0));
    TWCR = (1U << TWINT) | (1U << TWEN) | (1U << TWSTO);
    send(twi(1U << TWSTA));
    send(twi_byte(0x50 << 1));
    TWCR = (1U << TWINT) | (1U << TWEN) | (1U << TWSTO);
    TWCR = 0;
}

// How many bytes a receiver that is not listened to keeps, and whether it tells of the loss.
void overrun() {
    start_count(1U << CS11);
    while (TCNT1 < 10000) {
    } // 10.9 ms
    uint8_t count = 0;
    const uint8_t told = UCSR0A & (1U << DOR0);
    while ((UCSR0A & (1U << RXC0)) != 0) {
        const uint8_t ignored = UDR0;
        (void)ignored;
        ++count;
    }
    send(count);
    send(told);
}

// Cycles of an EEPROM write, by 8, and what is then there.
void eeprom() {
    EEAR = 200;
    EEDR = 0x5A;
    start_count(1U << CS11);
    EECR |= 1U << EEMPE;
    EECR |= 1U << EEPE;
    while ((EECR & (1U << EEPE)) != 0) {
    }
    send16(TCNT1);
    EEDR = 0;
    EECR |= 1U << EERE;
    send(EEDR);
}

// Cycles of one SPI byte at half the clock, with the loop that waits for it.
void spi() {
    DDRB |= (1U << 2) | (1U << 3) | (1U << 5);
    PORTB |= 1U << 2;
    SPCR = (1U << SPE) | (1U << MSTR);
    SPSR = 1U << SPI2X;
    start_count(1U << CS10);
    SPDR = 0xFF;
    while ((SPSR & (1U << SPIF)) == 0) {
    }
    send16(TCNT1);
    send(SPDR);
    SPCR = 0;
}

volatile uint8_t woken = 0;
volatile uint8_t barks = 0;

// Power-down until host_present changes; a timer stands still meanwhile.
void sleep() {
    PCMSK2 = static_cast<uint8_t>(1U << quaycell::board::host_present.bit);
    PCIFR = 1U << PCIF2;
    PCICR |= 1U << PCIE2;
    start_count(1U << CS11);
    SMCR = SLEEP_MODE_PWR_DOWN | (1U << SE);
    sei();
    sleep_cpu();
    SMCR = 0;
    cli();
    const uint16_t count = TCNT1;
    send(woken);
    send16(count);
}

// Three interrupts of the watchdog, each asked for once; then it resets.
void watchdog() {
    sei();
    WDTCSR = (1U << WDCE) | (1U << WDE);
    WDTCSR = (1U << WDIE) | (1U << WDE); // every 16 ms
    while (barks < 3) {
    }
    send(barks);
    while ((UCSR0A & (1U << TXC0)) == 0) {
    }
    for (;;) {
    } // not fed, and its interrupt no longer asked for
}

} // namespace

ISR(PCINT2_vect) {
    woken = static_cast<uint8_t>(woken + 1);
}

ISR(WDT_vect) {
    barks = static_cast<uint8_t>(barks + 1);
    if (barks < 3) WDTCSR |= 1U << WDIE;
}

int main();

int main() {
    const uint8_t cause = MCUSR;
    MCUSR = 0;
    WDTCSR = (1U << WDCE) | (1U << WDE);
    WDTCSR = 0;
    UBRR0 = 7; // 115200 baud with double speed
    UCSR0A = 1U << U2X0;
    UCSR0B = (1U << RXEN0) | (1U << TXEN0);
    for (;;) {
        switch (receive()) {
        case 'c':
            send(cause);
            break;
        case 't':
            two_wire();
            break;
        case 'o':
            overrun();
            break;
        case 'e':
            eeprom();
            break;
        case 's':
            spi();
            break;
        case 'p':
            sleep();
            break;
        case 'n':
            send(0);
            sleep();
            break;
        case 'x':
            cli();
            SMCR = SLEEP_MODE_PWR_DOWN | (1U << SE);
            sleep_cpu();
            break;
        case 'y':
            *reinterpret_cast<volatile uint8_t*>(RAMEND + 0x100) = 1;
            break;
        case 'w':
            watchdog();
            break;
        default:
            break;
        }
    }
}
