#include "archive/stored_rows.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <map>

namespace quaycell {

namespace {

// All of it by the SQLite file format (read, sqlite.org/fileformat2.html): section 1.3 the header,
// 1.5 the cells, 1.6 overflow, 2.1 the record, 4.1 the write-ahead log.

using Bytes = std::span<const std::uint8_t>;

constexpr std::size_t header_bytes = 100;
constexpr std::uint8_t interior_index_page = 0x02;
constexpr std::uint8_t leaf_index_page = 0x0A;
constexpr std::uint8_t leaf_table_page = 0x0D;

std::uint64_t big_endian(Bytes bytes, std::size_t at, std::size_t count) {
    std::uint64_t value = 0;
    for (std::size_t i = at; i < at + count; ++i)
        value = value << 8 | (i < bytes.size() ? bytes[i] : 0U);
    return value;
}

/// Reads along bytes; what lies beyond their end reads as 0 and is remembered.
class Cursor {
  public:
    Cursor(Bytes bytes, std::size_t at) : bytes_(bytes), at_(at) {}

    std::uint64_t varint() {
        std::uint64_t value = 0;
        for (int i = 0; i < 8; ++i) {
            const std::uint64_t byte = take(1);
            value = value << 7 | (byte & 0x7F);
            if ((byte & 0x80) == 0) return value;
        }
        return value << 8 | take(1);
    }
    std::uint64_t take(std::size_t count) {
        const std::uint64_t value = big_endian(bytes_, at_, count);
        at_ += count;
        return value;
    }
    Bytes slice(std::uint64_t count) {
        if (at_ > bytes_.size() || count > bytes_.size() - at_) {
            at_ = bytes_.size() + 1;
            return {};
        }
        const Bytes piece = bytes_.subspan(at_, static_cast<std::size_t>(count));
        at_ += static_cast<std::size_t>(count);
        return piece;
    }
    std::size_t at() const { return at_; }
    bool beyond() const { return at_ > bytes_.size(); }

  private:
    Bytes bytes_;
    std::size_t at_;
};

sqlite::Blob content_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// The pages as the write-ahead log left them.
class Pages {
  public:
    explicit Pages(const std::filesystem::path& path)
        : file_(content_of(path)), log_(content_of(path.string() + "-wal")) {
        size_ = static_cast<std::size_t>(big_endian(file_, 16, 2));
        if (size_ == 1) size_ = 65536;
        if (!is_possible(size_))
            size_ = file_.size() / std::max<std::uint64_t>(1, big_endian(file_, 28, 4));
        if (!is_possible(size_)) size_ = 4096; // as old archives have it
        for (std::size_t at = 0, number = 1; at < file_.size(); at += size_, ++number)
            pages_[number] = Bytes(file_).subspan(at, std::min(size_, file_.size() - at));
        take_log();
    }

    const std::map<std::uint64_t, Bytes>& all() const { return pages_; }
    std::size_t usable() const {
        const std::size_t reserved = file_.size() > 20 ? file_[20] : 0;
        return size_ - std::min<std::size_t>(reserved, size_ - 480);
    }
    std::size_t total_bytes() const { return file_.size() + log_.size(); }
    std::int64_t user_version() const {
        const auto first = pages_.find(1);
        return first == pages_.end() ? 0
                                     : static_cast<std::int64_t>(big_endian(first->second, 60, 4));
    }

    Bytes page(std::uint64_t number) const {
        const auto found = pages_.find(number);
        return found == pages_.end() ? Bytes{} : found->second;
    }

  private:
    static bool is_possible(std::size_t size) {
        return size >= 512 && size <= 65536 && (size & (size - 1)) == 0;
    }

    void take_log() {
        constexpr std::size_t log_header = 32;
        constexpr std::size_t frame_header = 24;
        const std::uint64_t salt = big_endian(log_, 16, 8);
        for (std::size_t at = log_header; at + frame_header + size_ <= log_.size();
             at += frame_header + size_) {
            if (big_endian(log_, at + 8, 8) != salt) break; // of an earlier round
            pages_[big_endian(log_, at, 4)] = Bytes(log_).subspan(at + frame_header, size_);
        }
    }

    sqlite::Blob file_;
    sqlite::Blob log_;
    std::size_t size_ = 0;
    std::map<std::uint64_t, Bytes> pages_;
};

/// How much of a payload stands in its own page.
std::size_t local_bytes(std::uint64_t payload, std::size_t usable, bool table) {
    const std::size_t most = table ? usable - 35 : (usable - 12) * 64 / 255 - 23;
    if (payload <= most) return static_cast<std::size_t>(payload);
    const std::size_t least = (usable - 12) * 32 / 255 - 23;
    const std::size_t fitting = least + static_cast<std::size_t>((payload - least) % (usable - 4));
    return fitting <= most ? fitting : least;
}

/// The payload of a cell with what overflows into other pages; empty when it does not hold
/// together.
sqlite::Blob payload_of(const Pages& pages, Cursor& cell, std::uint64_t length, bool table) {
    if (length > pages.total_bytes()) return {};
    const std::size_t local = local_bytes(length, pages.usable(), table);
    const Bytes here = cell.slice(local);
    sqlite::Blob payload(here.begin(), here.end());
    if (cell.beyond()) return {};
    std::uint64_t next = local < length ? cell.take(4) : 0;
    while (payload.size() < length) {
        const Bytes page = pages.page(next);
        if (page.size() < pages.usable()) return {};
        const std::size_t count =
            std::min<std::size_t>(pages.usable() - 4, length - payload.size());
        payload.insert(payload.end(), page.begin() + 4,
                       page.begin() + 4 + static_cast<std::ptrdiff_t>(count));
        next = big_endian(page, 0, 4);
    }
    return payload;
}

StoredValue value_of(std::uint64_t serial_type, Cursor& body) {
    constexpr std::array<std::size_t, 7> integer_bytes{0, 1, 2, 3, 4, 6, 8};
    if (serial_type == 0) return {'-', 0, {}};
    if (serial_type < integer_bytes.size()) {
        const std::size_t count = integer_bytes[serial_type];
        const auto raw = body.take(count) << (64 - 8 * count);
        return {'i', static_cast<std::int64_t>(raw) >> (64 - 8 * count), {}}; // sign and all
    }
    if (serial_type == 8 || serial_type == 9)
        return {'i', static_cast<std::int64_t>(serial_type - 8), {}};
    if (serial_type < 12) return {};
    const Bytes bytes = body.slice((serial_type - 12) / 2);
    return {serial_type % 2 == 0 ? 'b' : 't', 0, {bytes.begin(), bytes.end()}};
}

/// The values of a record; none when it does not hold together.
std::vector<StoredValue> values_of(const sqlite::Blob& payload) {
    Cursor head(payload, 0);
    const std::uint64_t head_bytes = head.varint();
    if (head_bytes > payload.size()) return {};
    Cursor body(payload, static_cast<std::size_t>(head_bytes));
    std::vector<StoredValue> values;
    while (head.at() < head_bytes && !body.beyond())
        values.push_back(value_of(head.varint(), body));
    if (head.at() != head_bytes || body.at() != payload.size()) return {};
    return values;
}

void take_page(const Pages& pages, std::uint64_t number, Bytes page, std::vector<StoredRow>& rows) {
    const std::size_t header = number == 1 ? header_bytes : 0;
    if (page.size() < header + 12) return;
    const std::uint8_t type = page[header];
    if (type != leaf_table_page && type != leaf_index_page && type != interior_index_page) return;
    const std::size_t pointers = header + (type == interior_index_page ? 12 : 8);
    const std::uint64_t cells = big_endian(page, header + 3, 2);
    for (std::size_t i = 0; i < cells && pointers + 2 * i + 2 <= page.size(); ++i) {
        Cursor cell(page, static_cast<std::size_t>(big_endian(page, pointers + 2 * i, 2)));
        if (type == interior_index_page) cell.take(4);
        const std::uint64_t length = cell.varint();
        StoredRow row;
        if (type == leaf_table_page) row.rowid = static_cast<std::int64_t>(cell.varint());
        row.values = values_of(payload_of(pages, cell, length, type == leaf_table_page));
        if (!row.values.empty()) rows.push_back(std::move(row));
    }
}

} // namespace

Result<StoredRows> stored_rows(const std::filesystem::path& path) {
    const Pages pages(path);
    if (pages.total_bytes() == 0)
        return Error{ErrorCode::failed, "the archive cannot be read", path.string(),
                     "Check the disk and who owns the file."};
    StoredRows found{pages.user_version(), {}};
    for (const auto& [number, page] : pages.all())
        take_page(pages, number, page, found.rows);
    return found;
}

} // namespace quaycell
