#include "cells.h"

#include "chance.h"

#include <algorithm>
#include <utility>

namespace quaycell::powerloss {

namespace {

/// Parts of 256 of the bits that were to change.
struct Progress {
    unsigned done;
    unsigned between; ///< when some are left between 0 and 1
};

constexpr std::uint32_t slots_that_program = 5, stuck_slot = 100;

// By seed: barely begun, in the middle, all but through.
constexpr std::array<Progress, 4> progress{{{0, 3}, {64, 96}, {128, 128}, {253, 3}}};

constexpr Progress progress_of(std::uint64_t seed) {
    return progress[seed % progress.size()];
}

} // namespace

Cells::Cells() : bytes_(flash_size, 0xFF) {}

void Cells::wear_out(Worn worn) {
    worn_ = worn;
    hold_stuck_bit();
}

/// Whether the sector is too worn for that.
bool Cells::is_beyond(const Operation& operation) const {
    if (!worn_ || worn_->sector != operation.sector()) return false;
    switch (worn_->kind) {
    case Worn::Kind::never_erases:
        return operation.erase;
    case Worn::Kind::never_programs:
        return !operation.erase;
    case Worn::Kind::half_programs:
        return !operation.erase &&
               operation.address % sector_size >= slots_that_program * wire::record_size;
    case Worn::Kind::stuck_bit:
        return false;
    }
    return false;
}

void Cells::hold_stuck_bit() {
    if (!worn_ || worn_->kind != Worn::Kind::stuck_bit) return;
    bytes_[worn_->sector * sector_size + stuck_slot * wire::record_size] &= 0x7F;
}

void Cells::read(std::uint32_t address, std::uint8_t* bytes, std::uint32_t count) {
    std::copy_n(bytes_.begin() + address, count, bytes);
    if (unstable_.empty()) return;
    for (std::uint32_t i = 0; i < count; ++i) {
        const std::uint8_t mask = unstable_[address + i];
        if (mask != 0) bytes[i] &= static_cast<std::uint8_t>(chance(seed_, ++reads_) | ~mask);
    }
}

void Cells::program(const Operation& operation) {
    if (is_beyond(operation)) return;
    for (std::uint32_t i = 0; i < wire::record_size; ++i) {
        bytes_[operation.address + i] &= operation.data[i];
        // A bit that is programmed once more is 0 for good; one that is left alone stays what it
        // is.
        if (!unstable_.empty()) unstable_[operation.address + i] &= operation.data[i];
        if (!weak_.empty()) weak_[operation.address + i] &= operation.data[i];
    }
}

void Cells::erase(std::uint32_t address) {
    if (is_beyond({true, address, {}})) return;
    for (std::vector<std::uint8_t>* masks : {&unstable_, &weak_})
        if (!masks->empty()) std::fill_n(masks->begin() + address, sector_size, std::uint8_t{0});
    std::fill_n(bytes_.begin() + address, sector_size, std::uint8_t{0xFF});
    hold_stuck_bit();
}

bool Cells::blank(std::uint32_t address, std::uint32_t count) const {
    const auto from = bytes_.begin() + address;
    return std::all_of(from, from + count, [](std::uint8_t byte) { return byte == 0xFF; });
}

void Cells::tear(const Operation& operation, Tear tear, std::uint64_t seed) {
    if (is_beyond(operation)) return;
    tear_cells(operation, tear, seed);
    hold_stuck_bit();
}

void Cells::tear_cells(const Operation& operation, Tear tear, std::uint64_t seed) {
    const auto sector = bytes_.begin() + operation.address;
    switch (tear.kind) {
    case Tear::Kind::before:
        return;
    case Tear::Kind::byte: {
        Operation part = operation;
        std::fill(part.data.begin() + tear.bytes, part.data.end(), std::uint8_t{0xFF});
        return program(part);
    }
    case Tear::Kind::front:
        std::fill_n(sector, tear.bytes, std::uint8_t{0xFF});
        return;
    case Tear::Kind::back:
        std::fill_n(sector + sector_size - tear.bytes, tear.bytes, std::uint8_t{0xFF});
        return;
    case Tear::Kind::zeroed:
        for (std::uint32_t i = 0; i < sector_size * 8; ++i)
            if (chance(seed, i) % 256 < progress_of(seed).done)
                sector[i / 8] &= static_cast<std::uint8_t>(~(1U << i % 8));
        return;
    case Tear::Kind::weak:
        erase(operation.address);
        weak_.resize(flash_size);
        for (std::uint32_t i = 0; i < sector_size; ++i)
            if (chance(seed, i) % 4 == 0)
                weak_[operation.address + i] = static_cast<std::uint8_t>(chance(seed, i) >> 8);
        power_ups_ = 0;
        return;
    case Tear::Kind::last_bit:
        return leave_one_bit(operation, seed);
    case Tear::Kind::bits:
    case Tear::Kind::unstable:
        return tear_bits(operation, tear.kind, seed);
    }
}

void Cells::leave_one_bit(const Operation& program, std::uint64_t seed) {
    std::vector<std::uint32_t> cleared;
    for (std::uint32_t i = 0; i < wire::record_size * 8; ++i)
        if ((bytes_[program.address + i / 8] & ~program.data[i / 8] & 1U << i % 8) != 0)
            cleared.push_back(i);
    Cells::program(program);
    if (cleared.empty()) return;
    const std::uint32_t left = cleared[chance(seed, 0) % cleared.size()];
    const auto mask = static_cast<std::uint8_t>(1U << left % 8);
    seed_ = seed;
    bytes_[program.address + left / 8] |= mask;
    make_unstable(program.address + left / 8, mask);
}

void Cells::tear_bits(const Operation& operation, Tear::Kind kind, std::uint64_t seed) {
    seed_ = seed;
    const std::uint32_t count = operation.erase ? sector_size : wire::record_size;
    for (std::uint32_t i = 0; i < count; ++i) {
        std::uint8_t& byte = bytes_[operation.address + i];
        const unsigned target = operation.erase ? 0xFF : byte & operation.data[i];
        unsigned done = 0, between = 0;
        for (unsigned bit = 0; bit < 8; ++bit) {
            const unsigned draw = static_cast<unsigned>(chance(seed, i * 8 + bit) % 256);
            const Progress reached = progress_of(seed);
            if (draw < reached.done)
                done |= 1U << bit;
            else if (kind == Tear::Kind::unstable && draw < reached.done + reached.between)
                between |= 1U << bit;
        }
        between &= byte ^ target;
        byte = static_cast<std::uint8_t>((byte & ~done) | (target & done) | between);
        if (between != 0) make_unstable(operation.address + i, static_cast<std::uint8_t>(between));
    }
}

void Cells::make_unstable(std::uint32_t at, std::uint8_t mask) {
    unstable_.resize(flash_size);
    unstable_[at] = mask;
}

void Cells::lose(std::uint32_t sector, std::uint64_t seed) {
    const std::uint32_t start = sector * sector_size;
    erase(start);
    if (seed % 2 == 0) return;
    for (std::uint32_t i = 0; i < sector_size; ++i)
        bytes_[start + i] = static_cast<std::uint8_t>(chance(seed, i));
    hold_stuck_bit();
}

void Cells::power_up() {
    if (weak_.empty() || ++power_ups_ < 2) return;
    for (std::uint32_t i = 0; i < flash_size; ++i)
        bytes_[i] &= static_cast<std::uint8_t>(~weak_[i]);
    weak_.clear();
}

} // namespace quaycell::powerloss
