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

Result<TraceJudgement> WeekMemory::judge(const WindowOptions& window,
                                         const BoatOptions& boat) const {
    auto part = narrowed(read_, window);
    if (!part) return part.error();
    return judge_sourced(std::move(*part), boat, {default_worst_share, {}, clock_now()});
}

WeekMemory::Happenings WeekMemory::happenings_of(const TraceJudgement& judgement) {
    return {judgement.judged.events, judgement.judged.spells};
}

void WeekMemory::take_those_within(TraceJudgement& part, const Happenings& whole) {
    const Instant first = part.trace.time.front(); // a part without readings is none
    const Instant last = part.trace.time.back();
    part.judged.events = whole.events;
    std::erase_if(part.judged.events,
                  [=](const Event& event) { return event.time < first || event.time > last; });
    part.judged.spells = whole.spells;
    std::erase_if(part.judged.spells,
                  [=](const Spell& spell) { return spell.to < first || spell.from > last; });
}

Result<const TraceJudgement*> WeekMemory::judged(const TraceOptions& source,
                                                 const BoatOptions& boat) {
    // Looked at before the archive is: what is written between is found by the next look.
    const std::string from = state_of(source.archive_file) + source.deployments;
    if (from != read_from_) {
        judged_.reset();
        whole_.reset();
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
    const bool is_part = !source.window.from.empty() || !source.window.to.empty();
    if (is_part && !whole_) {
        const auto whole = judge({}, boat);
        if (!whole) return whole.error();
        whole_ = happenings_of(*whole);
    }
    auto judgement = judge(source.window, boat);
    if (!judgement) return judgement.error();
    if (is_part)
        take_those_within(*judgement, *whole_);
    else
        whole_ = happenings_of(*judgement);
    judged_.emplace(std::move(*judgement));
    window_ = window;
    return &*judged_;
}

} // namespace quaycell::web
