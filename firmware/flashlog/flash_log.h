// The log: a ring of 32-byte records on NOR flash that a power cut at any instant cannot confuse.
// A record's sequence number is its address, so there is no index to keep and none to lose.
// FORMAT.md draws the bits, DESIGN.md says why.
//
// Flash is the chip, or a stand-in on the host:
//   uint16_t sector_count()                      of 4096 bytes, a power of two; 0: does not answer
//   bool busy()                                  erasing or programming
//   void read(uint32_t address, uint8_t*, uint16_t count)
//   void program(uint32_t address, const uint8_t*, uint8_t count)   returns when done or given up
//   void start_erase(uint32_t address)           returns at once
#pragma once

#include "flashlog/recording.h"
#include "flashlog/slot.h"

namespace quaycell {
namespace flashlog {

template <typename Flash>
class FlashLog {
  public:
    explicit constexpr FlashLog(Flash& flash) : flash_(flash) {}

    /// Finds the newest sector and the first free slot. Reads only; never erases or formats. May be
    /// called again when the flash is another, or gone.
    void mount(uint32_t device_id) {
        begin_without_knowledge();
        device_id_ = device_id;
        capacity_ = static_cast<uint32_t>(flash_.sector_count()) << wire::slot_bits;
        wire::SectorHeader header;
        bool found = false;
        uint32_t newest = 0;
        // Downwards the newest come early, so that few of the others have to be looked at closely.
        for (uint32_t place = capacity_; place != 0;) {
            place -= wire::slots_per_sector;
            wire::RecordHead head; // kind and number of it
            flash_.read(place * wire::record_size, reinterpret_cast<uint8_t*>(&head),
                        offsetof(wire::RecordHead, ticks_s));
            if (head.kind != static_cast<uint8_t>(wire::RecordKind::sector_header)) continue;
            if (found && !wire::sequence_before(newest, head.sequence)) continue;
            // A torn number may read one way now and another way then.
            if (!read_header(place, header)) continue;
            if (found && !wire::sequence_before(newest, header.head.sequence)) continue;
            found = true;
            newest = header.head.sequence;
        }
        if (!found) return;
        // A header that nothing was written behind may have been cut short at its very end, and
        // read otherwise the next time. Its sector is begun once more, under the same number,
        // behind the one before it; between the two may be worn ones.
        uint32_t sequence = newest;
        for (uint8_t back = 0; back <= wire::most_skipped + 1; ++back) {
            if (read_header(place_of(sequence), header) && header.head.sequence == sequence &&
                resume(header))
                return;
            sequence -= wire::slots_per_sector;
        }
        recording_ = {};
        next_ = tail_ = newest;
    }

    /// To be asked before append() and stop(), and now and then: carries a running erase forward
    /// and keeps the next sector erased. False while the flash is busy; ask again later.
    bool ready() { return prepare(false); }

    /// The same before arm() and forget(), which may erase the oldest records: from now on they do
    /// not count.
    bool ready_to_arm() { return prepare(true); }

    /// Gives the record its sequence number and checksum, writes it and reads it back. False when
    /// the memory is full (recording().on turns false, a Stop record says so) or does not take it.
    /// unix_s: the clock's time, for that Stop record.
    template <typename Record>
    bool append(Record& record, uint32_t unix_s) {
        static_assert(sizeof(Record) == wire::record_size, "a record");
        return append_bytes(reinterpret_cast<uint8_t*>(&record), unix_s);
    }

    /// Begins a deployment: a sector of its own, from which on everything counts, and the Arm
    /// record.
    bool arm(wire::Arm& record) {
        if (!may_begin()) return false;
        const Recording before = recording_;
        recording_ = recording_of(record);
        if (begin_anew(record, before)) return true;
        recording_.on = false;
        return false;
    }

    /// Ends it, and lets everything go: a sector of its own with nothing but this record. Interval
    /// and policy stay.
    bool forget(wire::Stop& record) {
        if (!may_begin()) return false;
        recording_.on = false;
        return begin_anew(record, recording_);
    }

    /// Ends it, or pauses it when the battery is low. Recording is off or paused in any case; false
    /// when that could not be written.
    bool stop(wire::Stop& record) {
        const bool written = append(record, record.unix_s);
        end_for(record, recording_);
        return written;
    }

    /// There are fresh cells: a pause is over.
    void go_on() { recording_.paused = false; }

    /// Whether slots can be read now.
    bool readable() { return !absent() && !flash_.busy(); }

    /// One slot as it stands, whatever it holds: record_size bytes.
    void read(uint32_t sequence, uint8_t* bytes) {
        flash_.read(place_of(sequence) * wire::record_size, bytes, wire::record_size);
    }

    Recording recording() const { return recording_; }
    uint32_t next_sequence() const { return next_; }
    uint32_t tail_sequence() const { return tail_; }

    /// Sectors in a row that were found to be worn since the last header: grows while ready() says
    /// no for long.
    uint8_t skipped() const { return skipped_; }

    /// No record fits any more until the logger is armed again.
    bool full() const { return !absent() && wire::is_sector_start(next_) && !has_room(); }

    /// Records that still fit: until the memory is full, or in a ring until the oldest sector goes.
    uint32_t free_slots() const {
        const uint32_t room = is_ring() ? capacity_ - wire::slots_per_sector : capacity_;
        if (full() || used() >= room) return 0;
        // Each sector still to be begun spends a slot on its header, a full memory one on saying
        // so.
        const uint32_t left = room - used();
        return left - left / wire::slots_per_sector - (is_ring() ? 0 : 1);
    }

  private:
    enum class Ahead : uint8_t { unknown, erasing, erased };
    static constexpr uint8_t attempts = 4; ///< bad slots in a row before a sector is given up

    void begin_without_knowledge() {
        next_ = tail_ = erase_count_ = 0;
        recording_ = {};
        skips_ = skipped_ = 0;
        rest_skipped_ = false;
        ahead_ = Ahead::unknown;
        next_is_doubtful_ = true;
    }

    bool absent() const { return capacity_ == 0; }
    bool is_ring() const { return recording_.policy == wire::FullPolicy::overwrite_oldest; }
    uint32_t first_sector() const { return sector_start(tail_); }

    /// Slots from the start of the tail's sector on, headers included.
    uint32_t used() const { return next_ - first_sector(); }

    /// Sector number modulo sector count, then the slot in it: for powers of two just a mask.
    uint32_t place_of(uint32_t sequence) const { return sequence & (capacity_ - 1); }

    /// The sector that comes after the one being filled.
    uint32_t upcoming() const { return sector_start(next_ + wire::slots_per_sector - 1); }

    /// The same, when those that are worn are passed over.
    uint32_t candidate() const {
        return upcoming() + static_cast<uint32_t>(skipped_) * wire::slots_per_sector;
    }

    /// Whether the sector ahead may be erased and begun.
    bool has_room() const { return is_ring() || candidate() - first_sector() < capacity_; }

    /// From the next sector on everything counts, and this record is the first. When not even the
    /// sector's header takes, all is as it was, and so is what was recorded `before`.
    template <typename Record>
    bool begin_anew(Record& record, const Recording before) {
        const uint32_t next = next_;
        const uint32_t tail = tail_;
        next_ = upcoming();
        tail_ = next_;
        if (append(record, record.unix_s)) return true;
        if (next_ != tail_) return false;
        next_ = next;
        tail_ = tail;
        recording_ = before;
        return false;
    }

    /// A refused order is followed by another look at the sectors that were given up.
    bool may_begin() {
        if (ahead_ == Ahead::erased) return true;
        skipped_ = 0;
        return false;
    }

    bool prepare(bool may_take_oldest) {
        if (absent()) return true;
        if (flash_.busy()) return false;
        if (ahead_ == Ahead::erasing) {
            ahead_ = Ahead::erased;
            if (!reads_erased(candidate())) pass_over_ahead();
        }
        if (ahead_ == Ahead::erased || skipped_ > wire::most_skipped) return true;
        if (!may_take_oldest && !has_room()) {
            if (full()) recording_.on = false;
            return true;
        }
        erase_ahead();
        return false;
    }

    bool read_header(uint32_t place, wire::SectorHeader& header) {
        uint8_t* bytes = reinterpret_cast<uint8_t*>(&header);
        read(place, bytes);
        return bytes[0] == static_cast<uint8_t>(wire::RecordKind::sector_header) &&
               wire::is_sector_start(header.head.sequence) &&
               place_of(header.head.sequence) == place &&
               header.head.sequence - header.tail_sequence < capacity_ &&
               wire::is_valid_record(bytes);
    }

    /// Goes on where this sector ends; false when nothing stands behind its header.
    bool resume(const wire::SectorHeader& header) {
        tail_ = header.tail_sequence;
        erase_count_ = header.erase_count;
        skips_ = header.skips;
        recording_ = recording_of(header);
        next_ = header.head.sequence + 1;
        for (uint8_t slot = 1; slot < wire::slots_per_sector; ++slot) {
            uint8_t bytes[wire::record_size];
            const uint32_t sequence = header.head.sequence + slot;
            read(sequence, bytes);
            if (is_blank(bytes)) continue;
            next_ = sequence + 1; // torn or whole: no slot is programmed twice
            if (is_order(bytes) && is_whole(bytes, sequence)) follow(bytes);
        }
        // The Stop record that a full memory ends with may have been torn.
        if (full()) recording_.on = false;
        return next_ != header.head.sequence + 1;
    }

    /// Arm, Stop and Boot records say what changed after the header was written.
    void follow(const uint8_t* bytes) {
        switch (static_cast<wire::RecordKind>(bytes[0])) {
        case wire::RecordKind::arm:
            recording_ = recording_of(wire::from_bytes<wire::Arm>(bytes));
            break;
        case wire::RecordKind::stop:
            end_for(wire::from_bytes<wire::Stop>(bytes), recording_);
            break;
        case wire::RecordKind::boot: // is written only where it goes on
            recording_.paused = false;
            break;
        default:
            break;
        }
    }

    /// An erase may fail: the sector is worn.
    bool reads_erased(uint32_t sequence) {
        for (uint8_t slot = 0; slot < wire::slots_per_sector; ++slot) {
            uint8_t bytes[wire::record_size];
            read(sequence + slot, bytes);
            if (!is_blank(bytes)) return false;
        }
        return true;
    }

    void pass_over_ahead() {
        ++skipped_;
        ahead_ = Ahead::unknown;
    }

    void erase_ahead() {
        const uint32_t place = place_of(candidate());
        // Behind a worn sector a ring has to take one more than its last header has told.
        if (is_ring() && candidate() - first_sector() >= capacity_)
            tail_ = candidate() + wire::slots_per_sector - capacity_;
        wire::SectorHeader old;
        // A sector whose header is gone has seen about as many erases as its neighbour.
        ahead_erase_count_ = (read_header(place, old) ? old.erase_count : erase_count_) + 1;
        flash_.start_erase(place * wire::record_size);
        ahead_ = Ahead::erasing;
    }

    bool append_bytes(uint8_t* record, uint32_t unix_s) {
        if (absent() || flash_.busy()) return false;
        if (next_is_doubtful_ && !wire::is_sector_start(next_)) void_slot();
        for (uint8_t attempt = 0; attempt < 2 * attempts; ++attempt) {
            if (attempt == attempts) {
                next_ = upcoming();
                rest_skipped_ = true;
            }
            if (full() || (wire::is_sector_start(next_) && !begin_sector(record))) break;
            if (!has_room() && wire::is_sector_start(next_ + 1)) {
                write_full(record, unix_s);
                return false;
            }
            if (write_slot(record)) {
                ready();
                return true;
            }
        }
        if (full()) recording_.on = false;
        return false;
    }

    /// The header of the next sector that takes one, stamped like the record that is about to
    /// follow it.
    bool begin_sector(const uint8_t* record) {
        const uint32_t first = next_;
        while (ahead_ == Ahead::erased) {
            next_ = candidate();
            if (write_header(record)) {
                ahead_ = Ahead::unknown;
                skipped_ = 0;
                rest_skipped_ = false;
                next_is_doubtful_ = false;
                return true;
            }
            next_ = first;
            pass_over_ahead();
            for (uint16_t polls = UINT16_MAX; !ready() && polls != 0; --polls) {
            }
        }
        return false;
    }

    bool write_header(const uint8_t* record) {
        erase_count_ = ahead_erase_count_;
        // In a ring the next sector is erased as soon as this header stands: what it holds is gone.
        if (is_ring() && used() + wire::slots_per_sector >= capacity_)
            tail_ = next_ + 2 * wire::slots_per_sector - capacity_;
        const uint8_t skips = static_cast<uint8_t>(skipped_ + (rest_skipped_ ? 1 : 0));

        wire::SectorHeader header;
        memset(&header, 0xFF, sizeof header);
        memcpy(&header, record, sizeof header.head);
        header.head.kind = static_cast<uint8_t>(wire::RecordKind::sector_header);
        header.tail_sequence = tail_;
        header.erase_count = erase_count_;
        header.device_id = device_id_;
        header.interval_s = recording_.interval_s;
        header.layout = wire::record_layout;
        header.state = static_cast<uint8_t>((recording_.on ? wire::state_recording : 0) |
                                            (is_ring() ? wire::state_overwrite_oldest : 0));
        header.skipped = static_cast<uint8_t>(skipped_ | (rest_skipped_ ? wire::rest_skipped : 0));
        header.skips = static_cast<uint8_t>(skips_ + skips);
        if (!write_slot(reinterpret_cast<uint8_t*>(&header))) return false;
        skips_ = header.skips;
        return true;
    }

    void write_full(const uint8_t* record, uint32_t unix_s) {
        wire::Stop stop = stop_of_full_memory(record, unix_s);
        write_slot(reinterpret_cast<uint8_t*>(&stop));
        recording_.on = false;
    }

    /// A program that the power cut at its very beginning leaves a slot that reads blank, with
    /// cells between 0 and 1: a record there could read back today and not tomorrow. All of them
    /// are made 0.
    void void_slot() {
        const uint8_t zeros[wire::record_size] = {};
        flash_.program(place_of(next_) * wire::record_size, zeros, wire::record_size);
        ++next_;
        next_is_doubtful_ = false;
    }

    /// Programs the slot at next_ once, and says whether it reads back. The slot is spent either
    /// way.
    bool write_slot(uint8_t* record) {
        wire::to_bytes(next_, record + offsetof(wire::RecordHead, sequence));
        wire::to_bytes(wire::crc16(record, wire::record_size - wire::crc_size),
                       record + wire::record_size - wire::crc_size);
        flash_.program(place_of(next_) * wire::record_size, record, wire::record_size);
        uint8_t back[wire::record_size];
        read(next_, back);
        ++next_;
        return memcmp(record, back, sizeof back) == 0;
    }

    Flash& flash_;
    uint32_t device_id_ = 0;
    uint32_t capacity_ = 0; ///< in slots; 0 when the flash does not answer
    uint32_t next_ = 0;
    uint32_t tail_ = 0;
    uint32_t erase_count_ = 0;
    uint32_t ahead_erase_count_ = 0;
    Recording recording_ = {};
    uint8_t skips_ = 0;         ///< by the newest header
    uint8_t skipped_ = 0;       ///< sectors behind the one being filled
    bool rest_skipped_ = false; ///< and the rest of that one
    Ahead ahead_ = Ahead::unknown;
    bool next_is_doubtful_ = true; ///< the power may have been cut while it was programmed
};

} // namespace flashlog
} // namespace quaycell
