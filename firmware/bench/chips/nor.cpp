#include "bench/chips/nor.h"

#include "bench/random.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>

namespace quaycell::bench {

namespace {

using namespace std::chrono_literals;

constexpr std::uint8_t read_identity = 0x9F, read_status = 0x05, write_enable = 0x06,
                       write_disable = 0x04, read_data = 0x03, page_program = 0x02,
                       sector_erase = 0x20, release = 0xAB, deep_power_down = 0xB9;
constexpr std::uint8_t busy_bit = 0x01, write_enabled_bit = 0x02;

// The family's identity: maker, type, then the capacity as a power of two.
constexpr std::uint8_t maker = 0xEF, type = 0x40;

// Typical times of the family's data sheets (from memory).
constexpr Time program_time = 700us;
constexpr Time release_time = 3us;

// Part of the bits that a cut leaves between 0 and 1: our choice.
constexpr double unstable_part = 0.05;

constexpr std::size_t megabyte = 1048576;
constexpr std::uint32_t header_bytes = 4; // opcode and address

} // namespace

Nor::Nor(unsigned megabytes, Findings& findings, std::vector<WornSector> worn, Time erase_time)
    : findings_(findings), worn_(std::move(worn)), erase_time_(erase_time),
      capacity_code_(static_cast<std::uint8_t>(std::bit_width(megabytes * megabyte) - 1)),
      image_(megabytes * megabyte, 0xFF) {}

bool Nor::is_worn(WornSector::What what, std::uint32_t address) const {
    return std::ranges::any_of(worn_, [&](const WornSector& worn) {
        return worn.what == what && worn.sector == address / sector_size;
    });
}

void Nor::power_on(Time now) {
    pass(now);
    operation_.reset();
    awake_from_.reset();
    selected_ = write_enabled_ = deep_power_down_ = rejected_ = false;
}

void Nor::become(NorState state, Time now, std::uint64_t seed) {
    if (state == NorState::absent) cut(now, seed);
    if (state_ == NorState::absent || state == NorState::absent) power_on(now);
    byte_ = 1; // a command under way has lost its beginning, or its end
    rejected_ = true;
    state_ = state;
}

void Nor::select(bool low, Time now) {
    if (low == selected_) return;
    pass(now);
    settle(now);
    selected_ = low;
    if (low)
        byte_ = 0;
    else if (byte_ > 0 && !rejected_)
        commit(now);
}

std::uint8_t Nor::exchange(std::uint8_t sent, Time now) {
    if (!selected_) return 0xFF;
    settle(now);
    if (state_ != NorState::ok) return state_ == NorState::dumb ? 0x00 : 0xFF;
    std::uint8_t answer = 0xFF;
    if (byte_ == 0) {
        begin_command(sent, now);
    } else if (!rejected_) {
        if (opcode_ == read_status) {
            answer = static_cast<std::uint8_t>((operation_ ? busy_bit : 0) |
                                               (write_enabled_ ? write_enabled_bit : 0));
        } else {
            answer = take_byte(sent);
        }
    }
    ++byte_;
    return answer;
}

void Nor::begin_command(std::uint8_t opcode, Time now) {
    constexpr std::array known{read_identity, read_status,  write_enable, write_disable,  read_data,
                               page_program,  sector_erase, release,      deep_power_down};
    opcode_ = opcode;
    address_ = 0;
    page_.clear();
    const auto reject = [&](const char* why) {
        rejected_ = true;
        findings_.add(now, fmt::format("flash: command 0x{:02x} {}", opcode, why));
    };
    rejected_ = false;
    if (std::ranges::find(known, opcode) == known.end())
        reject("is unknown to the chip");
    else if (deep_power_down_ && opcode != release)
        reject("in deep power-down");
    else if (awake_from_ && now < *awake_from_ && opcode != release)
        reject("too soon after release");
    else if (operation_ && opcode == release)
        rejected_ = true; // ignored, and that is no mistake (data sheet, from memory)
    else if (operation_ && opcode != read_status)
        reject("while busy");
    else if ((opcode == page_program || opcode == sector_erase) && !write_enabled_)
        reject("without write enable");
}

std::uint8_t Nor::take_byte(std::uint8_t sent) {
    if (opcode_ == read_identity) {
        const std::array<std::uint8_t, 3> identity{maker, type, capacity_code_};
        return identity[(byte_ - 1) % identity.size()];
    }
    if (opcode_ != read_data && opcode_ != page_program && opcode_ != sector_erase) return 0xFF;
    if (byte_ < header_bytes) {
        address_ = (address_ << 8) | sent;
        return 0xFF;
    }
    if (opcode_ == read_data) {
        const std::uint32_t at = address_ + byte_ - header_bytes;
        return read(at % image_.size());
    }
    if (opcode_ == page_program) page_.push_back(sent);
    return 0xFF;
}

void Nor::commit(Time now) {
    switch (opcode_) {
    case write_enable:
        write_enabled_ = true;
        break;
    case write_disable:
        write_enabled_ = false;
        break;
    case deep_power_down:
        deep_power_down_ = true;
        break;
    case release:
        if (deep_power_down_) awake_from_ = now + release_time;
        deep_power_down_ = false;
        break;
    case page_program:
        begin_program(now);
        break;
    case sector_erase:
        begin_erase(now);
        break;
    default:
        break;
    }
}

void Nor::begin_program(Time now) {
    if (page_.empty()) {
        findings_.add(now, "flash: page program without data");
        return;
    }
    const auto at = static_cast<std::uint32_t>(address_ % image_.size());
    const std::uint32_t page = at - at % page_size;
    std::vector<std::uint8_t> target(image_.begin() + page, image_.begin() + page + page_size);
    bool overwritten = false;
    for (std::uint32_t i = 0; i < page_.size(); ++i) {
        std::uint8_t& byte = target[(at + i) % page_size]; // past the end it starts over
        overwritten = overwritten || (byte != 0xFF && page_[i] != 0xFF);
        byte &= page_[i];
    }
    if (is_worn(WornSector::What::program, at))
        std::copy_n(image_.begin() + page, page_size, target.begin());
    if (overwritten || page_.size() > page_size)
        findings_.add(now,
                      fmt::format("flash: programmed over what is not erased at 0x{:06x}", at));
    operation_ = Operation{false, page, std::move(target), now, now + program_time};
    ++programs_;
}

void Nor::begin_erase(Time now) {
    if (byte_ != header_bytes) {
        findings_.add(now, "flash: sector erase with a wrong length");
        return;
    }
    const auto at = static_cast<std::uint32_t>(address_ % image_.size());
    const std::uint32_t sector = at - at % sector_size;
    std::vector<std::uint8_t> target(sector_size, 0xFF);
    if (is_worn(WornSector::What::erase, at))
        std::copy_n(image_.begin() + sector, sector_size, target.begin());
    operation_ = Operation{true, sector, std::move(target), now, now + erase_time_};
    ++erases_;
}

NorTime Nor::time(Time now) const {
    NorTime time = time_;
    Time from = timed_until_;
    if (operation_) {
        const Time busy = std::clamp(operation_->until - from, Time{0}, now - from);
        (operation_->erase ? time.erasing : time.programming) += busy;
        from += busy;
    }
    (selected_          ? time.selected
     : deep_power_down_ ? time.deep_power_down
                        : time.standby) += now - from;
    return time;
}

void Nor::settle(Time now) {
    if (!operation_ || now < operation_->until) return;
    pass(now);
    const auto first = unstable_.lower_bound(operation_->address);
    const auto last = unstable_.lower_bound(operation_->address + operation_->target.size());
    if (operation_->erase)
        unstable_.erase(first, last);
    else
        for (auto each = first; each != last; ++each)
            each->second &= operation_->target[each->first - operation_->address];
    std::ranges::copy(operation_->target, image_.begin() + operation_->address);
    operation_.reset();
    write_enabled_ = false;
}

std::uint8_t Nor::read(std::size_t at) {
    const auto found = unstable_.find(at);
    if (found == unstable_.end()) return image_[at];
    const double high = random_fraction(at, ++unstable_reads_);
    const auto noise = static_cast<unsigned>(high * 256);
    return static_cast<std::uint8_t>(image_[at] & (noise | ~unsigned{found->second}));
}

void Nor::cut(Time now, std::uint64_t seed) {
    pass(now);
    settle(now);
    if (!operation_) return;
    // Each bit that was to change has done so or not, the likelier the longer it took. An erase
    // first programs all bits and then lifts them, so half way everything reads zero.
    const Operation& torn = *operation_;
    if (torn.erase && is_worn(WornSector::What::erase, torn.address)) return operation_.reset();
    const double progress = std::chrono::duration<double>(now - torn.from) /
                            std::chrono::duration<double>(torn.until - torn.from);
    const bool lifting = torn.erase && progress >= 0.5;
    const double done = !torn.erase ? progress : lifting ? 2 * progress - 1 : 2 * progress;
    for (std::uint32_t i = 0; i < torn.target.size(); ++i) {
        std::uint8_t& byte = image_[torn.address + i];
        const unsigned before = lifting ? 0 : byte;
        const unsigned after = !torn.erase ? torn.target[i] : lifting ? 0xFFU : 0;
        unsigned changed = 0, between = 0;
        for (unsigned bit = 0; bit < 8; ++bit) {
            const double draw = random_fraction(seed, i * 8ULL + bit);
            if (draw < done)
                changed |= 1U << bit;
            else if (draw < done + unstable_part)
                between |= 1U << bit;
        }
        between &= before ^ after;
        byte = static_cast<std::uint8_t>((before & ~changed) | (after & changed) | between);
        if (between != 0) unstable_[torn.address + i] = static_cast<std::uint8_t>(between);
    }
    operation_.reset();
}

} // namespace quaycell::bench
