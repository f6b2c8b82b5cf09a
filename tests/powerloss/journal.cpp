#include "journal.h"

#include "failure.h"

#include <fmt/format.h>

#include <algorithm>

namespace quaycell::powerloss {

namespace {

std::uint32_t slot_of(std::uint32_t sequence) {
    return sequence % capacity;
}

std::uint32_t sector_start(std::uint32_t sequence) {
    return sequence - sequence % wire::slots_per_sector;
}

std::uint32_t sequence_of(const Bytes& record) {
    return wire::from_bytes<wire::RecordHead>(record.data()).sequence;
}

bool is_kind(const Bytes& record, wire::RecordKind kind) {
    return record[0] == static_cast<std::uint8_t>(kind);
}

} // namespace

void Journal::order(const Standing& ordered) {
    standings_.resize(1);
    standings_.push_back(ordered);
    given_up_.clear();
}

void Journal::order_anew(const Standing& ordered, std::uint32_t tail) {
    order(ordered);
    bool passed_over = true;
    for (std::uint32_t s = ordered.start; passed_over; s += wire::slots_per_sector) {
        const std::uint32_t sector = slot_of(s) / wire::slots_per_sector;
        if (s - sector_start(tail) >= capacity) given_up_.push_back(sector);
        passed_over = is_passed_over(sector);
    }
}

void Journal::ordered() {
    standings_ = {standings_.back()};
    undecided_ = false;
    given_up_.clear();
    forgive_before(standings_.front().start);
}

/// Whether the log goes on behind this sector without a header in it.
bool Journal::is_passed_over(std::uint32_t sector) const {
    return is_worn(sector) && worn_->kind != Worn::Kind::half_programs;
}

/// Whether what stands there does not count any more, or is the oldest of a ring that goes on
/// behind a worn sector.
bool Journal::may_be_taken(const Operation& erase) const {
    const std::uint32_t sector = erase.sector();
    if (std::ranges::find(given_up_, sector) != given_up_.end()) return true;
    const bool is_ring = std::ranges::any_of(standings_, [](const Standing& standing) {
        return standing.policy == wire::FullPolicy::overwrite_oldest;
    });
    return is_ring && is_passed_over((sector + sectors - 1) % sectors) &&
           filling_ == (sector + sectors - 2) % sectors;
}

void Journal::mark_torn(const Operation& operation, bool torn) {
    const auto first = torn_.begin() + operation.address / wire::record_size;
    std::fill_n(first, operation.erase ? wire::slots_per_sector : 1, torn);
}

void Journal::issue(const Operation& operation) {
    mark_torn(operation, false);
    const std::uint32_t first = operation.address / wire::record_size;
    if (!operation.erase) {
        issued_[first] = operation.data;
        if (sequence_of(promised_[first]) != sequence_of(operation.data))
            debts_[first] = Debt::none; // that was the last trip round the ring
        if (is_kind(operation.data, wire::RecordKind::sector_header)) {
            newest_sector_ = operation.sector();
            if (!is_passed_over(operation.sector())) filling_ = operation.sector();
            header_tail_ =
                wire::from_bytes<wire::SectorHeader>(operation.data.data()).tail_sequence;
        }
        return;
    }
    const bool taken =
        may_be_taken(operation) || wire::sequence_before(sequence_of(issued_[first]), header_tail_);
    for (std::uint32_t slot = first; slot < first + wire::slots_per_sector; ++slot) {
        const bool dropped = wire::sequence_before(sequence_of(promised_[slot]), header_tail_);
        if (taken || (debts_[slot] == Debt::owed && dropped)) debts_[slot] = Debt::waived;
    }
}

void Journal::promise(const Bytes& record) {
    const std::uint32_t sequence = sequence_of(record);
    if (last_promised_ && !wire::sequence_before(*last_promised_, sequence))
        throw Failure(fmt::format("number {} is given a second time", sequence));
    last_promised_ = sequence;
    promised_[slot_of(sequence)] = record;
    debts_[slot_of(sequence)] = Debt::owed;
}

void Journal::tear(const Operation& operation, bool unstable) {
    issue(operation);
    mark_torn(operation, true);
    cut();
    undecided_ = undecided_ || unstable;
}

void Journal::lose(std::uint32_t sector) {
    sector_lost_ = true;
    newest_lost_ = sector == newest_sector_ ||
                   (last_promised_ && sector == slot_of(*last_promised_) / wire::slots_per_sector);
    const auto first = debts_.begin() + sector * wire::slots_per_sector;
    std::fill_n(first, wire::slots_per_sector, Debt::waived);
}

std::uint32_t Journal::oldest_possible_tail(const Standing& standing, const Claim& claim) const {
    if (standing.policy != wire::FullPolicy::overwrite_oldest) return standing.start;
    // Full of records but for the sector that is being erased ahead, behind a worn one.
    std::uint32_t ahead = sector_start(claim.next - 1) + wire::slots_per_sector;
    if (is_passed_over(slot_of(ahead) / wire::slots_per_sector)) ahead += wire::slots_per_sector;
    const std::uint32_t full = ahead + wire::slots_per_sector - capacity;
    return wire::sequence_before(standing.start, full) ? full : standing.start;
}

bool Journal::fits(const Standing& standing, const Claim& claim) const {
    const bool on = standing.on && !claim.full;
    // That a worn sector is the last one shows when it is to be written.
    const bool unaware = standing.policy == wire::FullPolicy::stop_when_full && claim.standing.on &&
                         is_worn(slot_of(claim.next) / wire::slots_per_sector);
    const std::uint32_t tail = oldest_possible_tail(standing, claim);
    // Nor does it show before that it takes no header, or while it is still virgin.
    const std::uint32_t lag =
        worn_ && worn_->kind != Worn::Kind::stuck_bit ? wire::slots_per_sector : 0;
    return (claim.standing.on == on || unaware) && claim.standing.policy == standing.policy &&
           claim.standing.interval_s == standing.interval_s &&
           !wire::sequence_before(claim.tail, standing.start) &&
           !wire::sequence_before(claim.tail, tail - lag) &&
           !wire::sequence_before(tail, claim.tail);
}

void Journal::settle_standing(const Claim& claim) {
    if (claim.next - claim.tail > capacity)
        throw Failure(
            fmt::format("counts from {} to {}, more than the flash holds", claim.tail, claim.next));
    const bool nothing_owed = std::ranges::count(debts_, Debt::owed) == 0;
    const std::uint32_t beginning = is_passed_over(0) ? wire::slots_per_sector : 0;
    const bool virgin = (claim.next == 0 || claim.next == beginning || sector_lost_) &&
                        claim.tail == claim.next && !claim.standing.on;
    // With the newest sector goes what an order or a full ring had changed there; with the last one
    // that held anything, all.
    if (newest_lost_ || (nothing_owed && virgin)) {
        newest_lost_ = false;
        standings_ = {claim.standing};
        standings_.front().start = claim.tail;
        last_promised_.reset();
        forgive_before(claim.tail);
        return;
    }
    const auto fitting = std::ranges::find_if(
        standings_, [&](const Standing& standing) { return fits(standing, claim); });
    if (fitting == standings_.end())
        throw Failure(fmt::format("stands at recording {}, policy {}, {} s, tail {}, next {}",
                                  claim.standing.on, static_cast<int>(claim.standing.policy),
                                  claim.standing.interval_s, claim.tail, claim.next));
    const Standing found = *fitting;
    forgive_before(claim.tail);
    if (undecided_) return;
    standings_ = {found};
    if (claim.full) standings_.front().on = false;
}

void Journal::forgive_before(std::uint32_t sequence) {
    for (std::uint32_t slot = 0; slot < capacity; ++slot)
        if (debts_[slot] == Debt::owed &&
            wire::sequence_before(sequence_of(promised_[slot]), sequence))
            debts_[slot] = Debt::waived;
}

void Journal::begin_walk() {
    in_flight_seen_ = owed_seen_ = unexplained_ = told_by_number_ = 0;
    missing_.clear();
    header_.reset();
}

void Journal::miss(std::uint32_t sequence, const Bytes& bytes) {
    const bool is_void = std::ranges::all_of(bytes, [](std::uint8_t byte) { return byte == 0; });
    const std::uint32_t slot = slot_of(sequence);
    const bool is_reused = wire::sequence_before(sequence, sequence_of(issued_[slot]));
    // A bit that gets stuck in a sector in use is taken for the end of what stands there.
    const bool is_stuck = is_worn(slot / wire::slots_per_sector) && header_ &&
                          worn_->kind == Worn::Kind::stuck_bit &&
                          header_->head.sequence == sector_start(sequence);
    // The header that would tell of a worn sector may have been given up.
    const bool is_untold =
        is_worn(slot / wire::slots_per_sector) &&
        debts_[slot_of(sector_start(sequence) + wire::slots_per_sector)] == Debt::waived;
    if (!is_void && !is_reused && !is_stuck && !is_untold && debts_[slot] != Debt::waived)
        missing_.push_back(sequence);
}

/// Holds what a header tells of worn sectors against the numbers that are missing before it.
void Journal::follow_header(const wire::SectorHeader& header) {
    const bool has_rest = (header.skipped & wire::rest_skipped) != 0;
    const unsigned skips = header.skipped & ~unsigned{wire::rest_skipped};
    const std::uint32_t explained =
        skips * wire::slots_per_sector + (has_rest ? wire::slots_per_sector - 1 : 0);
    std::erase_if(missing_, [&](std::uint32_t s) { return header.head.sequence - s <= explained; });
    const auto told = static_cast<std::uint8_t>(header.skips - (header_ ? header_->skips : 0));
    if (header_ && !sector_lost_ && told != skips + has_rest)
        throw Failure(fmt::format("header {} counts {} worn sectors and passes over {}",
                                  header.head.sequence, told, skips + has_rest));
    header_ = header;
}

void Journal::visit(std::uint32_t sequence, const Bytes& bytes) {
    const std::uint32_t slot = slot_of(sequence);
    const bool is_promised = debts_[slot] == Debt::owed && sequence_of(promised_[slot]) == sequence;
    if (is_promised) {
        if (bytes != promised_[slot]) throw Failure(fmt::format("record {} is lost", sequence));
        ++owed_seen_;
    }
    const bool whole = wire::is_valid_record(bytes.data()) && sequence_of(bytes) == sequence;
    if (!whole) miss(sequence, bytes);
    const bool is_header = is_kind(bytes, wire::RecordKind::sector_header);
    if (whole) {
        if (is_header) follow_header(wire::from_bytes<wire::SectorHeader>(bytes.data()));
        unexplained_ += static_cast<unsigned>(missing_.size());
        missing_.clear();
    }
    if (is_promised || !wire::is_valid_record(bytes.data())) return;
    // The checksum of one torn slot in 65,536 fits by chance; then it is told by its number. Two at
    // once are no chance.
    if (!whole && torn_[slot] && bytes != issued_[slot] && ++told_by_number_ == 1) return;
    // What cannot be erased any more is told by its number, too.
    if (is_worn(slot / wire::slots_per_sector) && !whole) return;
    // A header with another number is told by that, and heads nothing.
    if (bytes != issued_[slot] || (sequence_of(bytes) != sequence && !is_header))
        throw Failure(fmt::format("record {} was never written", sequence));
    if (debts_[slot] == Debt::none && !is_header) ++in_flight_seen_;
}

void Journal::end_walk() {
    // At the end of the log the header that tells is still to come.
    std::erase_if(missing_,
                  [&](std::uint32_t s) { return is_worn(slot_of(s) / wire::slots_per_sector); });
    unexplained_ += static_cast<unsigned>(missing_.size());
    if (unexplained_ > cuts_ && !sector_lost_)
        throw Failure(fmt::format("{} numbers are missing for no reason, after {} cuts",
                                  unexplained_, cuts_));
    const auto owed = std::ranges::count_if(debts_, [](Debt debt) { return debt == Debt::owed; });
    if (owed_seen_ != owed)
        throw Failure(fmt::format("{} records are no longer between tail and end",
                                  owed - static_cast<std::ptrdiff_t>(owed_seen_)));
    if (in_flight_seen_ > cuts_)
        throw Failure(fmt::format("{} records came back that nobody was told of, after {} cuts",
                                  in_flight_seen_, cuts_));
}

} // namespace quaycell::powerloss
