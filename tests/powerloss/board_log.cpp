#include "board_log.h"

#include "chance.h"
#include "failure.h"

#include <fmt/format.h>

#include <algorithm>

namespace quaycell::powerloss {

namespace {

class ImageFlash {
  public:
    explicit ImageFlash(const std::vector<std::uint8_t>& image) : image_(image) {}
    std::uint16_t sector_count() const { return static_cast<std::uint16_t>(image_.size() / 4096); }
    void read(std::uint32_t address, std::uint8_t* bytes, std::uint16_t count) const {
        std::copy_n(image_.begin() + address, count, bytes);
    }

  private:
    const std::vector<std::uint8_t>& image_;
};

std::uint32_t sector_start(std::uint32_t sequence) {
    return sequence - sequence % wire::slots_per_sector;
}

bool same(const BoardLog& a, const BoardLog& b, std::uint32_t sequence) {
    return std::equal(a.slot(sequence), a.slot(sequence) + wire::record_size, b.slot(sequence));
}

} // namespace

BoardLog::BoardLog(std::span<const std::uint8_t> image) : image_(image.begin(), image.end()) {
    ImageFlash flash(image_);
    flashlog::FlashLog<ImageFlash> log(flash);
    log.mount(0);
    tail_ = log.tail_sequence();
    next_ = log.next_sequence();
    recording_ = log.recording();
}

std::uint32_t BoardLog::capacity() const {
    return static_cast<std::uint32_t>(image_.size()) / wire::record_size;
}

bool BoardLog::enters_sector(const BoardLog& later) const {
    return sector_start(later.next_ - 1) != sector_start(next_ - 1);
}

const std::uint8_t* BoardLog::slot(std::uint32_t sequence) const {
    return image_.data() + std::size_t{sequence % capacity()} * wire::record_size;
}

bool BoardLog::has(std::uint32_t sequence) const {
    return wire::is_valid_record(slot(sequence)) &&
           wire::from_bytes<wire::RecordHead>(slot(sequence)).sequence == sequence;
}

void hold_together(const BoardLog& before, const BoardLog& after, bool order_given,
                   std::uint32_t worn) {
    if (wire::sequence_before(after.tail(), before.tail()))
        throw Failure(fmt::format("the tail went back from {} to {}", before.tail(), after.tail()));
    const std::uint32_t ring_tail =
        sector_start(after.next() - 1) + (2 + worn) * wire::slots_per_sector - after.capacity();
    if (!order_given && after.tail() != before.tail() &&
        wire::sequence_before(ring_tail, after.tail()))
        throw Failure(
            fmt::format("the tail went from {} to {}, for no reason", before.tail(), after.tail()));
    if (!order_given && before.recording().on && !after.recording().on)
        throw Failure("recording has ended, for no reason");
    // The sector that is taken behind a worn one is told by the next header only.
    const std::uint32_t first =
        worn != 0 && wire::sequence_before(after.tail(), ring_tail) ? ring_tail : after.tail();
    for (std::uint32_t s = first; wire::sequence_before(s, before.next()); ++s)
        if (!same(before, after, s) && before.has(s))
            throw Failure(fmt::format("record {} is lost", s));
}

unsigned new_records(const BoardLog& before, const BoardLog& after) {
    unsigned count = 0;
    for (std::uint32_t s = after.tail(); s != after.next(); ++s)
        if (!same(before, after, s) && !wire::is_sector_start(s) && after.has(s)) ++count;
    return count;
}

std::vector<std::uint8_t> full_ring(std::uint32_t flash_bytes, std::uint32_t sectors_to_wrap,
                                    std::uint32_t newest_slots) {
    const std::uint32_t slots = flash_bytes / wire::record_size;
    const std::uint32_t newest = 0U - sectors_to_wrap * wire::slots_per_sector;
    const std::uint32_t oldest = newest + 2 * wire::slots_per_sector - slots;
    std::vector<std::uint8_t> image(flash_bytes, 0xFF);
    const auto put = [&](auto record, wire::RecordKind kind, std::uint32_t sequence) {
        record.head.kind = static_cast<std::uint8_t>(kind);
        record.head.sequence = sequence;
        record.head.ticks_s = sequence - oldest;
        wire::seal(record);
        wire::to_bytes(record, &image[std::size_t{sequence % slots} * wire::record_size]);
    };
    for (std::uint32_t s = oldest; s != newest + newest_slots; ++s) {
        if (wire::is_sector_start(s)) {
            wire::SectorHeader header = {};
            // The first headers stand in a ring that is full already.
            header.tail_sequence = std::max(s + 2 * wire::slots_per_sector - slots, oldest);
            header.erase_count = 1;
            header.interval_s = 1;
            header.layout = wire::record_layout;
            header.state = wire::state_recording | wire::state_overwrite_oldest;
            put(header, wire::RecordKind::sector_header, s);
        } else {
            wire::Reading reading = {};
            reading.cell_a = static_cast<std::int16_t>(chance(0, s));
            put(reading, wire::RecordKind::reading, s);
        }
    }
    return image;
}

void soil_ahead(std::span<std::uint8_t> ring, std::uint32_t sectors_to_wrap) {
    constexpr std::size_t sector = std::size_t{wire::record_size} * wire::slots_per_sector;
    const std::size_t ahead = (ring.size() - (sectors_to_wrap - 1) * sector) % ring.size();
    std::ranges::fill(ring.subspan(ahead, sector), std::uint8_t{0});
}

} // namespace quaycell::powerloss
