// What the log has promised, kept beside it: whatever it answered for has to come back.
#pragma once

#include "cells.h"

#include <optional>

namespace quaycell::powerloss {

/// What a restart has to go on with.
struct Standing {
    bool on = false;
    wire::FullPolicy policy = wire::FullPolicy::stop_when_full;
    std::uint16_t interval_s = 0;
    std::uint32_t start = 0; ///< first sequence number of the deployment

    bool operator==(const Standing&) const = default;
};

/// What the log says of itself.
struct Claim {
    Standing standing; ///< but for `start`
    std::uint32_t tail;
    std::uint32_t next;
    bool full;
};

class Journal {
  public:
    explicit Journal(const Standing& start) : standings_{start} {}

    /// A sector of the flash is worn from now on.
    void wear_out(Worn worn) { worn_ = worn; }

    /// An order that changes the standing is given.
    void order(const Standing& ordered);
    /// The same, when it begins a sector: at `ordered.start`, or behind that when it is worn. If
    /// the log, from `tail` on, leaves no room for it the order may take the oldest sectors.
    void order_anew(const Standing& ordered, std::uint32_t tail);
    /// The log has said yes to the order.
    void ordered();
    const Standing& standing() const { return standings_.front(); }

    /// The log asks this of the flash; to be called whether or not the power holds.
    void issue(const Operation& operation);
    /// The log has answered for a record: it comes back from now on.
    void promise(const Bytes& record);
    /// One more cut, before an operation or in the middle of one: what is in flight may or may not
    /// be there. `unstable`: and may change from one look to the next.
    void cut() { ++cuts_; }
    void tear(const Operation& operation, bool unstable);
    /// A sector is lost.
    void lose(std::uint32_t sector);

    /// Holds what a restart, or the log in the middle of its work, says and shows against the
    /// promises. Throws Failure. `read(sequence, bytes)` reads a slot.
    template <typename Read>
    void hold_against(const Claim& claim, Read read) {
        settle_standing(claim);
        begin_walk();
        for (std::uint32_t s = claim.tail; s != claim.next; ++s) {
            Bytes bytes;
            read(s, bytes.data());
            visit(s, bytes);
        }
        end_walk();
    }

  private:
    enum class Debt : std::uint8_t { none, owed, waived };

    bool is_worn(std::uint32_t sector) const { return worn_ && worn_->sector == sector; }
    bool is_passed_over(std::uint32_t sector) const;
    bool may_be_taken(const Operation& erase) const;
    void settle_standing(const Claim& claim);
    bool fits(const Standing& standing, const Claim& claim) const;
    void begin_walk();
    void visit(std::uint32_t sequence, const Bytes& bytes);
    void mark_torn(const Operation& operation, bool torn);
    void miss(std::uint32_t sequence, const Bytes& bytes);
    void follow_header(const wire::SectorHeader& header);
    void end_walk();
    void forgive_before(std::uint32_t sequence);
    std::uint32_t oldest_possible_tail(const Standing& standing, const Claim& claim) const;

    std::vector<Standing> standings_;     ///< one, or two while an order is in flight
    std::vector<std::uint32_t> given_up_; ///< sectors, to the order in flight
    std::optional<Worn> worn_;
    std::vector<Bytes> issued_ = std::vector<Bytes>(capacity, Bytes{}); ///< last, for each slot
    std::vector<Bytes> promised_ = std::vector<Bytes>(capacity, Bytes{});
    std::vector<Debt> debts_ = std::vector<Debt>(capacity, Debt::none);
    std::vector<bool> torn_ = std::vector<bool>(capacity, false); ///< by the last operation there
    std::optional<std::uint32_t> last_promised_;
    std::uint32_t header_tail_ = 0;                ///< of the last header issued
    std::optional<std::uint32_t> newest_sector_{}; ///< that a header was issued for
    std::uint32_t filling_ = 0;                    ///< the newest of those that take a header
    unsigned cuts_ = 0;
    bool undecided_ = false;   ///< the order in flight may still go either way
    bool newest_lost_ = false; ///< what stood in it last is unknowable
    bool sector_lost_ = false; ///< what its header told is unknowable
    // The walk:
    unsigned in_flight_seen_ = 0, owed_seen_ = 0, unexplained_ = 0, told_by_number_ = 0;
    std::vector<std::uint32_t> missing_;       ///< numbers since the last record
    std::optional<wire::SectorHeader> header_; ///< the last one
};

} // namespace quaycell::powerloss
