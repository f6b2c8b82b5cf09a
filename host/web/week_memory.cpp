#include "web/week_memory.h"

#include <filesystem>
#include <fmt/format.h>

namespace quaycell::web {

namespace {

/// What changes with every write to an archive, the one that SQLite has not brought home included.
std::string state_of(const std::string& archive_file) {
    std::string state;
    for (const char* const suffix : {"", "-wal"}) {
        const std::string file = archive_file + suffix;
        std::error_code none;
        const auto size = std::filesystem::file_size(file, none);
        if (none) continue;
        const auto written = std::filesystem::last_write_time(file, none);
        state += fmt::format("{} {} {};", file, size, written.time_since_epoch().count());
    }
    return state;
}

} // namespace

Result<const TraceJudgement*> WeekMemory::judged(const TraceOptions& source,
                                                 const BoatOptions& boat) {
    // Looked at before the archive is: what is written between is found by the next look.
    const std::string from = state_of(source.archive_file) + source.deployments;
    if (from != read_from_) {
        judged_.reset();
        read_from_.clear();
        TraceOptions whole = source;
        whole.window = {};
        auto loaded = load_trace(whole);
        if (!loaded) return loaded.error();
        read_ = std::move(*loaded);
        read_from_ = from;
    }
    const std::string window = source.window.from + '/' + source.window.to;
    if (judged_ && window == window_) return &*judged_;
    judged_.reset();
    auto part = narrowed(read_, source.window);
    if (!part) return part.error();
    auto judgement = judge_sourced(std::move(*part), boat, {default_worst_share, {}, clock_now()});
    if (!judgement) return judgement.error();
    judged_.emplace(std::move(*judgement));
    window_ = window;
    return &*judged_;
}

} // namespace quaycell::web
