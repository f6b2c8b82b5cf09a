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

void Journal::order(const Standing& ordered, std::optional<std::uint32_t> given_up) {
    standings_.resize(1);
    standings_.push_back(ordered);
    given_up_ = given_up;
}

void Journal::ordered(std::uint32_t start) {
    standings_ = {standings_.back()};
    standings_.front().start = start;
    undecided_ = false;
    given_up_.reset();
    forgive_before(start);
}

void Journal::issue(const Operation& operation) {
    const std::uint32_t first = operation.address / wire::record_size;
    if (!operation.erase) {
        issued_[first] = operation.data;
        if (sequence_of(promised_[first]) != sequence_of(operation.data))
            debts_[first] = Debt::none; // that was the last trip round the ring
        if (is_kind(operation.data, wire::RecordKind::sector_header)) {
            newest_sector_ = operation.sector();
            header_tail_ =
                wire::from_bytes<wire::SectorHeader>(operation.data.data()).tail_sequence;
        }
        return;
    }
    for (std::uint32_t slot = first; slot < first + wire::slots_per_sector; ++slot) {
        const bool dropped = wire::sequence_before(sequence_of(promised_[slot]), header_tail_);
        if (debts_[slot] == Debt::owed && (given_up_ == operation.sector() || dropped))
            debts_[slot] = Debt::waived;
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

void Journal::cut(bool unstable) {
    ++cuts_;
    undecided_ = undecided_ || unstable;
}

void Journal::lose(std::uint32_t sector) {
    newest_lost_ = sector == newest_sector_ ||
                   (last_promised_ && sector == slot_of(*last_promised_) / wire::slots_per_sector);
    const auto first = debts_.begin() + sector * wire::slots_per_sector;
    std::fill_n(first, wire::slots_per_sector, Debt::waived);
}

std::uint32_t Journal::oldest_possible_tail(const Standing& standing, const Claim& claim) const {
    if (standing.policy != wire::FullPolicy::overwrite_oldest) return standing.start;
    // Full of records but for the sector that is being erased ahead.
    const std::uint32_t full = sector_start(claim.next - 1) + 2 * wire::slots_per_sector - capacity;
    return wire::sequence_before(standing.start, full) ? full : standing.start;
}

bool Journal::fits(const Standing& standing, const Claim& claim) const {
    const bool on = standing.on && !claim.full;
    return claim.standing.on == on && claim.standing.policy == standing.policy &&
           claim.standing.interval_s == standing.interval_s &&
           !wire::sequence_before(claim.tail, standing.start) &&
           !wire::sequence_before(oldest_possible_tail(standing, claim), claim.tail);
}

void Journal::settle_standing(const Claim& claim) {
    if (claim.next - claim.tail > capacity)
        throw Failure(
            fmt::format("counts from {} to {}, more than the flash holds", claim.tail, claim.next));
    const bool nothing_owed = std::ranges::count(debts_, Debt::owed) == 0;
    const bool virgin = claim.tail == 0 && claim.next == 0 && !claim.standing.on;
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
    in_flight_seen_ = owed_seen_ = 0;
}

void Journal::visit(std::uint32_t sequence, const Bytes& bytes) {
    const std::uint32_t slot = slot_of(sequence);
    const bool is_promised = debts_[slot] == Debt::owed && sequence_of(promised_[slot]) == sequence;
    if (is_promised) {
        if (bytes != promised_[slot]) throw Failure(fmt::format("record {} is lost", sequence));
        ++owed_seen_;
        return;
    }
    if (!wire::is_valid_record(bytes.data())) return; // a number that is missing
    const bool is_header = is_kind(bytes, wire::RecordKind::sector_header);
    // A header with another number is told by that, and heads nothing.
    if (bytes != issued_[slot] || (sequence_of(bytes) != sequence && !is_header))
        throw Failure(fmt::format("record {} was never written", sequence));
    if (debts_[slot] == Debt::none && !is_header) ++in_flight_seen_;
}

void Journal::end_walk() const {
    const auto owed = std::ranges::count_if(debts_, [](Debt debt) { return debt == Debt::owed; });
    if (owed_seen_ != owed)
        throw Failure(fmt::format("{} records are no longer between tail and end",
                                  owed - static_cast<std::ptrdiff_t>(owed_seen_)));
    if (in_flight_seen_ > cuts_)
        throw Failure(fmt::format("{} records came back that nobody was told of, after {} cuts",
                                  in_flight_seen_, cuts_));
}

} // namespace quaycell::powerloss
