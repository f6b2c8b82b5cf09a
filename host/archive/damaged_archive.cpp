// The part of the archive that reads a damaged file.
#include "archive/archive.h"

#include "archive/salvage.h"

#include <algorithm>
#include <fmt/format.h>

namespace quaycell {

namespace {

constexpr std::size_t losses_told_one_by_one = 20;

} // namespace

Result<Archive> Archive::open_damaged(const std::filesystem::path& path) {
    auto salvaged = salvage(path);
    if (!salvaged) return salvaged.error();
    Archive archive(std::move(salvaged->database), path.string());
    archive.losses_ = std::move(salvaged->losses);
    for (const LooseBlock& block : salvaged->loose) {
        // A record that contradicts one of a sound block is the one that is wrong.
        const auto added = archive.add(block.device, block.records);
        if (!added && added.error().code != ErrorCode::refused) return added.error();
    }
    if (const auto told = archive.tell_lost_records(); !told) return told.error();
    if (archive.losses_.empty())
        archive.losses_.emplace_back("nothing that can be named, all records that it tells of");
    const auto set = archive.database_.run("PRAGMA query_only = ON");
    if (!set) return set.error();
    return archive;
}

/// What the collections had brought and is no longer there.
Result<Done> Archive::tell_lost_records() {
    auto rows = database_.prepare(
        "SELECT device, first_sequence, next_sequence FROM collection ORDER BY id DESC");
    if (!rows) return rows.error();
    std::vector<std::string> found;
    for (;;) {
        const auto row = rows->step();
        if (!row) return row.error();
        if (!*row) break;
        const auto device = static_cast<std::uint32_t>(rows->integer(0));
        const auto lost = missing(device, static_cast<std::uint32_t>(rows->integer(1)),
                                  static_cast<std::uint32_t>(rows->integer(2)));
        if (!lost) return lost.error();
        for (const SequenceRange& range : *lost) {
            std::string words = fmt::format("logger {:08x}: {} record{} from number {} on", device,
                                            range.count, range.count == 1 ? "" : "s", range.first);
            if (std::ranges::find(found, words) == found.end()) found.push_back(std::move(words));
        }
    }
    if (found.size() > losses_told_one_by_one) {
        const std::size_t more = found.size() - losses_told_one_by_one;
        found.resize(losses_told_one_by_one);
        found.push_back(fmt::format("{} more such gaps", more));
    }
    losses_.insert(losses_.end(), found.begin(), found.end());
    return Done{};
}

} // namespace quaycell
