#include "collect/collect.h"

#include "collect/collector.h"

namespace quaycell {

Result<CollectReport> collect(Logger& logger, Archive& archive, const Progress& progress) {
    ArchiveWriter writer(archive);
    Collector collector(writer, progress, [] { return false; });
    if (const auto done = collector.run(logger); !done) return done.error();
    CollectReport report = collector.report();
    report.rejects = logger.rejects();
    return report;
}

Result<CollectReport> collect(SteadyLogger& logger, ArchiveWriter& archive,
                              const Progress& progress, const std::function<bool()>& stop) {
    Collector collector(archive, progress, stop);
    const auto done = logger.keep_at([&](Logger& found) { return collector.run(found); },
                                     [&] { return collector.report().received; });
    if (!done) return done.error();
    CollectReport report = collector.report();
    report.rejects = logger.rejects();
    return report;
}

} // namespace quaycell
