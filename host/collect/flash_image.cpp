#include "collect/flash_image.h"

#include "collect/bad_runs.h"
#include "collect/same_logger.h"

#include <algorithm>
#include <bit>
#include <chrono>
#include <optional>

namespace quaycell {

namespace {

constexpr std::uint32_t sector_bytes = wire::record_size * wire::slots_per_sector;
constexpr std::uint32_t no_number = UINT32_MAX;

Error no_log(const std::string& name, const char* what) {
    return {ErrorCode::wrong_input, what, name,
            "Read the whole flash of one logger, from address 0 on, as raw bytes."};
}

bool is_blank(const RecordBytes& bytes) {
    return std::ranges::all_of(bytes, [](std::uint8_t byte) { return byte == 0xFF; });
}

class Image {
  public:
    explicit Image(std::span<const std::uint8_t> bytes)
        : bytes_(bytes), sectors_(static_cast<std::uint32_t>(bytes.size() / sector_bytes)) {}

    std::uint32_t sectors() const { return sectors_; }

    /// The slot of that number: the number is also its address.
    SequencedRecord slot(std::uint32_t sequence) const {
        const std::size_t place = sequence & (sectors_ * wire::slots_per_sector - 1);
        SequencedRecord slot{sequence, {}};
        std::copy_n(bytes_.begin() + static_cast<std::ptrdiff_t>(place * wire::record_size),
                    wire::record_size, slot.bytes.begin());
        return slot;
    }

    /// The header of the sector at that place, if it stands there rightly.
    std::optional<wire::SectorHeader> header(std::uint32_t sector) const {
        const auto found = slot(sector * wire::slots_per_sector);
        const auto header = wire::from_bytes<wire::SectorHeader>(found.bytes.data());
        const bool whole =
            found.bytes[0] == static_cast<std::uint8_t>(wire::RecordKind::sector_header) &&
            wire::is_sector_start(header.head.sequence) &&
            is_good({header.head.sequence, found.bytes}) &&
            (header.head.sequence >> wire::slot_bits) % sectors_ == sector;
        if (!whole) return std::nullopt;
        return header;
    }

    /// Whether anything stands behind the header of that number.
    bool has_content(std::uint32_t header) const {
        for (std::uint32_t s = header + 1; s != header + wire::slots_per_sector; ++s)
            if (!is_blank(slot(s).bytes)) return true;
        return false;
    }

  private:
    std::span<const std::uint8_t> bytes_;
    std::uint32_t sectors_;
};

/// The newest that something stands behind: as the logger does, whose power may have been cut just
/// as it wrote the header of a sector (firmware/flashlog/DESIGN.md).
std::optional<wire::SectorHeader> newest_header(const Image& image) {
    std::optional<wire::SectorHeader> newest;
    for (std::uint32_t sector = 0; sector < image.sectors(); ++sector) {
        const auto header = image.header(sector);
        if (!header || !image.has_content(header->head.sequence)) continue;
        if (!newest || wire::sequence_before(newest->head.sequence, header->head.sequence))
            newest = header;
    }
    return newest;
}

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

} // namespace

Result<FlashImage> read_flash_image(std::span<const std::uint8_t> bytes, const std::string& name) {
    if (bytes.empty() || bytes.size() % sector_bytes != 0 ||
        !std::has_single_bit(bytes.size() / sector_bytes))
        return no_log(name, "this is no copy of a whole flash");
    const Image image(bytes);
    const auto newest = newest_header(image);
    if (!newest) return no_log(name, "this copy of a flash holds no log");
    if (newest->device_id == no_number)
        return no_log(name, "the logger of this flash has no number of its own");
    const std::uint32_t capacity = image.sectors() * wire::slots_per_sector;
    const std::uint32_t end = newest->head.sequence + wire::slots_per_sector;
    // In 64 bits, so that a tail behind the sector is too far away, too.
    const std::uint64_t before = newest->head.sequence - newest->tail_sequence;
    if (before + wire::slots_per_sector > capacity)
        return no_log(name, "the newest sector tells of more records than the flash can hold");

    FlashImage log{name, newest->device_id, newest->head.boot, newest->tail_sequence, {}};
    for (std::uint32_t sequence = log.tail; sequence != end; ++sequence)
        log.slots.push_back(image.slot(sequence));
    // Behind the last record of the newest sector nothing was written yet.
    while (is_blank(log.slots.back().bytes))
        log.slots.pop_back();
    for (const SequencedRecord& slot : log.slots) {
        if (!is_good(slot) || !wire::is_sector_start(slot.sequence)) continue;
        if (wire::from_bytes<wire::SectorHeader>(slot.bytes.data()).device_id != log.device)
            return no_log(name, "this flash holds the records of two loggers");
    }
    return log;
}

namespace {

/// Whether a record of the copy is held, so that it is known whose it is.
Result<bool> is_known(Archive& archive, const FlashImage& image) {
    const auto held = archive.records(image.device);
    if (!held) return held.error();
    return std::ranges::any_of(*held, [&](const RecordBytes& record) {
        const auto head = wire::from_bytes<wire::RecordHead>(record.data());
        const std::uint32_t place = head.sequence - image.tail;
        return place < image.slots.size() && image.slots[place].bytes == record;
    });
}

} // namespace

Result<FlashImport> import_flash(Archive& archive, const FlashImage& image) {
    const auto next = image.tail + static_cast<std::uint32_t>(image.slots.size());
    const auto known = is_known(archive, image);
    if (!known) return known.error();
    if (!*known) {
        auto ends = ends_by(image.slots, image.device, image.boot, image.tail, next);
        ends.is_copy = true;
        const auto same = check_same_logger(archive, ends, image.name);
        if (!same) return same.error();
    }
    auto counts = archive.add(image.device, image.slots);
    if (!counts) return counts.error();
    for (const BadRun& run : bad_runs(image.slots)) {
        const auto noted =
            archive.put_known_bad(image.device, image.boot, run.numbers, run.how, now());
        if (!noted) return noted.error();
    }
    const auto gaps = archive.known_bad(image.device, image.tail, next);
    if (!gaps) return gaps.error();
    const auto worn = archive.passed_over(image.device, image.tail, next);
    if (!worn) return worn.error();
    for (const SequenceRange& range : worn->numbers)
        counts->bad -= range.count;
    const auto told = archive.put_collection(
        {now(), image.device, image.tail, next, counts->added, counts->bad, QUAYCELL_VERSION});
    if (!told) return told.error();
    return FlashImport{*counts, *gaps, worn->sectors};
}

} // namespace quaycell
