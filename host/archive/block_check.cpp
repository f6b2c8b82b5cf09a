#include "archive/block_check.h"

#include "archive/row_checksum.h"
#include "archive/whole_records.h"
#include "base/aside.h"

#include <algorithm>
#include <array>
#include <span>
#include <vector>

namespace quaycell {

namespace {

constexpr std::size_t lanes = RowChecksum::lanes;

/// Of a block.
struct Row {
    RowChecksum sum;
    std::uint32_t device = 0;
    sqlite::Blob records;
    bool has_checksum = false;
    std::int64_t checksum = 0;
    bool is_all_whole = false; ///< its records, where somebody wants to see them

    bool is_sound() const { return has_checksum && checksum == sum.value(); }
};

void read(const sqlite::Statement& from, Row& row) {
    row.sum = {};
    row.device = static_cast<std::uint32_t>(from.integer(0));
    for (int column = 0; column < 4; ++column)
        row.sum.add(from.integer(column));
    const auto records = from.bytes(4);
    row.records.assign(records.begin(), records.end());
    row.has_checksum = !from.is_null(5);
    row.checksum = from.integer(5);
}

/// As many at once as can be.
void add_records_to_sums(std::span<Row> rows) {
    const bool alike = rows.size() == lanes && std::ranges::all_of(rows, [&rows](const Row& row) {
                           return row.records.size() == rows[0].records.size();
                       });
    if (!alike) {
        for (Row& row : rows)
            row.sum.add(row.records);
        return;
    }
    std::array<RowChecksum::Lane, lanes> together;
    for (std::size_t i = 0; i < lanes; ++i)
        together[i] = {&rows[i].sum, rows[i].records};
    RowChecksum::add_side_by_side(together);
}

/// A quarter of a megabyte, as blocks are: what waits stays in the processor's cache, and handing
/// it over costs nothing beside summing it.
constexpr std::size_t rows_together = 8 * lanes;
constexpr std::size_t most_waiting = 4;

struct Together {
    std::vector<Row> rows = std::vector<Row>(rows_together);
    std::size_t count = 0;

    std::span<Row> given() { return std::span(rows).first(count); }
};

/// Shows what it has found sound while the next is being read and summed.
class Checker {
  public:
    explicit Checker(RecordVisitor* visitor)
        : visitor_(visitor), aside_([this](Together& rows) { show(rows); }, most_waiting) {}

    void add(const sqlite::Statement& row) {
        read(row, next_.rows[next_.count++]);
        if (next_.count < rows_together) return;
        check(next_);
        if (visitor_ != nullptr) next_ = aside_.give(std::move(next_));
        next_.count = 0;
    }

    /// What was found in all.
    std::int64_t rotten() {
        check(next_);
        aside_.finish();
        if (visitor_ != nullptr) show(next_);
        return rotten_;
    }

  private:
    void check(Together& together) {
        const std::span<Row> rows = together.given();
        for (std::size_t first = 0; first < rows.size(); first += lanes)
            add_records_to_sums(rows.subspan(first, std::min(lanes, rows.size() - first)));
        for (Row& row : rows) {
            rotten_ += !row.is_sound();
            // Here, because the visitor has more to do than this thread.
            row.is_all_whole = visitor_ != nullptr && are_all_whole(row.records);
        }
    }

    void show(Together& together) {
        for (const Row& row : together.given()) {
            if (!row.is_sound()) continue;
            if (row.is_all_whole) {
                visitor_->see(row.device, row.records);
                continue;
            }
            visit_whole_records(row.records, [&](std::span<const std::uint8_t> records) {
                visitor_->see(row.device, records);
            });
        }
    }

    RecordVisitor* visitor_;
    std::int64_t rotten_ = 0;
    Together next_;
    Aside<Together> aside_;
};

} // namespace

Result<std::int64_t> rotten_blocks(sqlite::Database& database, RecordVisitor* visitor) {
    auto rows =
        database.prepare("SELECT device, boot, first_sequence, count, records, checksum FROM block "
                         "ORDER BY device, boot, first_sequence");
    if (!rows) return rows.error();
    Checker checker(visitor);
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return checker.rotten();
        checker.add(*rows);
    }
}

} // namespace quaycell
