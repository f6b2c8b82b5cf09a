// SPI NOR flash of 2 to 16 MB, by its JEDEC id. Commands and times: common to the 25-series, from
// memory. In deep power-down whenever it is not used; while busy it ignores its release, too.
//
// Spi:   void select(), void release(), uint8_t exchange(uint8_t)
//        void receive(uint8_t*, uint16_t count)   count times exchange(0), at least once
// Delay: static void microseconds(uint8_t)
#pragma once

#include <stdint.h>

namespace quaycell {
namespace chips {

template <typename Spi, typename Delay>
class NorFlash {
  public:
    explicit constexpr NorFlash(Spi& spi) : spi_(spi) {}

    /// Whether a flash of a known size answers. A reset of the controller does not end an erase,
    /// and a busy chip does not tell its id: waits for the end.
    bool begin() {
        wake();
        wait(erase_polls);
        return identify();
    }

    /// The same at any time, to see whether it is still there, or there again; at once. A chip that
    /// is busy is what it was.
    bool identify() {
        if (sector_count_ == 0) awake_ = false; // it may have slept through the last release
        wake();
        if (busy()) return sector_count_ != 0;
        {
            Selected selected(spi_);
            spi_.exchange(read_id);
            for (uint8_t i = 0; i < sizeof jedec_id_; ++i)
                jedec_id_[i] = spi_.exchange(0);
        }
        const bool answers = jedec_id_[0] != 0x00 && jedec_id_[0] != nobody;
        const bool known = jedec_id_[2] >= smallest && jedec_id_[2] <= largest;
        sector_count_ =
            static_cast<uint16_t>(answers && known ? 1U << (jedec_id_[2] - sector_power) : 0U);
        return sector_count_ != 0;
    }

    const uint8_t* jedec_id() const { return jedec_id_; }
    /// 0 when no flash of a known size answers.
    uint16_t sector_count() const { return sector_count_; }

    /// A bus on which nobody answers is not busy.
    bool busy() {
        if (!awake_) return false;
        const uint8_t now = status();
        return now != nobody && (now & write_in_progress) != 0;
    }

    void read(uint32_t address, uint8_t* bytes, uint16_t count) {
        wake();
        Selected selected(spi_);
        command(read_data, address);
        spi_.receive(bytes, count);
    }

    /// Not across a page of 256 bytes. Waits for the end, for a limited time.
    void program(uint32_t address, const uint8_t* bytes, uint8_t count) {
        enable_write();
        {
            Selected selected(spi_);
            command(page_program, address);
            for (uint8_t i = 0; i < count; ++i)
                spi_.exchange(bytes[i]);
        }
        wait(program_polls);
    }

    void start_erase(uint32_t address) {
        enable_write();
        Selected selected(spi_);
        command(sector_erase, address);
    }

    /// Deep power-down, unless it is still busy.
    void rest() {
        if (!awake_ || busy()) return;
        Selected selected(spi_);
        spi_.exchange(deep_power_down);
        awake_ = false;
    }

  private:
    static constexpr uint8_t page_program = 0x02;
    static constexpr uint8_t read_data = 0x03;
    static constexpr uint8_t read_status = 0x05;
    static constexpr uint8_t write_enable = 0x06;
    static constexpr uint8_t sector_erase = 0x20;
    static constexpr uint8_t read_id = 0x9F;
    static constexpr uint8_t release_power_down = 0xAB;
    static constexpr uint8_t deep_power_down = 0xB9;
    static constexpr uint8_t write_in_progress = 0x01;
    static constexpr uint8_t nobody = 0xFF;     // what the pull-up of a bus without a chip says
    static constexpr uint8_t sector_power = 12; // 4096 bytes
    static constexpr uint8_t smallest = 21;     // 2 MB, as a power of two
    static constexpr uint8_t largest = 24;      // 16 MB
    static constexpr uint8_t wake_us = 40;      // 3 to 35 us, by maker
    static constexpr uint8_t poll_us = 20;
    static constexpr uint16_t program_polls = 20000 / poll_us;  // data sheets: 3 to 5 ms at most
    static constexpr uint16_t erase_polls = 500000UL / poll_us; // data sheets: 400 ms at most

    /// The chip listens while this lives.
    class Selected {
      public:
        explicit Selected(Spi& spi) : spi_(spi) { spi_.select(); }
        ~Selected() { spi_.release(); }
        Selected(const Selected&) = delete;
        Selected& operator=(const Selected&) = delete;

      private:
        Spi& spi_;
    };

    void wake() {
        if (awake_) return;
        single(release_power_down);
        Delay::microseconds(wake_us);
        awake_ = true;
    }

    void wait(uint16_t polls) {
        for (; polls != 0 && busy(); --polls)
            Delay::microseconds(poll_us);
    }

    void enable_write() {
        wake();
        single(write_enable);
    }

    void single(uint8_t code) {
        Selected selected(spi_);
        spi_.exchange(code);
    }

    uint8_t status() {
        Selected selected(spi_);
        spi_.exchange(read_status);
        return spi_.exchange(0);
    }

    void command(uint8_t code, uint32_t address) {
        spi_.exchange(code);
        spi_.exchange(static_cast<uint8_t>(address >> 16));
        spi_.exchange(static_cast<uint8_t>(address >> 8));
        spi_.exchange(static_cast<uint8_t>(address));
    }

    Spi& spi_;
    uint16_t sector_count_ = 0;
    uint8_t jedec_id_[3] = {0, 0, 0};
    bool awake_ = false;
};

} // namespace chips
} // namespace quaycell
