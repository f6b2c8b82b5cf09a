#include "archive/block_check.h"

#include "archive/row_checksum.h"
#include "archive/whole_records.h"

#include <algorithm>
#include <array>

namespace quaycell {

namespace {

constexpr std::size_t lanes = RowChecksum::lanes;

/// Rows that wait for each other, so that their records are summed at once.
class Waiting {
  public:
    explicit Waiting(RecordVisitor* visitor) : visitor_(visitor) {}

    void add(const sqlite::Statement& row) {
        Row& next = rows_[count_++];
        next.sum = {};
        next.device = static_cast<std::uint32_t>(row.integer(0));
        for (int column = 0; column < 4; ++column)
            next.sum.add(row.integer(column));
        const auto records = row.bytes(4);
        next.records.assign(records.begin(), records.end());
        next.has_checksum = !row.is_null(5);
        next.checksum = row.integer(5);
        if (count_ == lanes) finish();
    }

    /// What is left, and what was found in all.
    std::int64_t rotten() {
        finish();
        return rotten_;
    }

  private:
    struct Row {
        RowChecksum sum;
        std::uint32_t device = 0;
        sqlite::Blob records;
        bool has_checksum = false;
        std::int64_t checksum = 0;
    };

    void finish() {
        const bool all_alike =
            count_ == lanes && std::ranges::all_of(rows_, [this](const Row& row) {
                return row.records.size() == rows_[0].records.size();
            });
        if (all_alike) {
            std::array<RowChecksum::Lane, lanes> together;
            for (std::size_t i = 0; i < lanes; ++i)
                together[i] = {&rows_[i].sum, rows_[i].records};
            RowChecksum::add_side_by_side(together);
        } else {
            for (std::size_t i = 0; i < count_; ++i)
                rows_[i].sum.add(rows_[i].records);
        }
        for (const Row& row : std::span(rows_).first(count_)) {
            if (!row.has_checksum || row.checksum != row.sum.value())
                ++rotten_;
            else if (visitor_ != nullptr)
                visit_whole_records(row.records, [&](std::span<const std::uint8_t> records) {
                    visitor_->see(row.device, records);
                });
        }
        count_ = 0;
    }

    RecordVisitor* visitor_;

    std::array<Row, lanes> rows_;
    std::size_t count_ = 0;
    std::int64_t rotten_ = 0;
};

} // namespace

Result<std::int64_t> rotten_blocks(sqlite::Database& database, RecordVisitor* visitor) {
    auto rows =
        database.prepare("SELECT device, boot, first_sequence, count, records, checksum FROM block "
                         "ORDER BY device, boot, first_sequence");
    if (!rows) return rows.error();
    Waiting waiting(visitor);
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) return waiting.rotten();
        waiting.add(*rows);
    }
}

} // namespace quaycell
