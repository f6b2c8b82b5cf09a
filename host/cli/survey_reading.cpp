#include "cli/survey_reading.h"

#include "cli/fitted.h"
#include "cli/interrupt.h"

#include <fmt/format.h>
#include <iostream>
#include <unistd.h>

namespace quaycell {

namespace {

/// What is shown takes the place of what was shown before; less than the narrowest window has.
constexpr std::size_t progress_columns = 39;

void show(const std::optional<SurveyReading>& reading) {
    if (isatty(STDERR_FILENO) == 0) return;
    if (!reading) {
        std::cerr << fmt::format("\r{:<{}}", "  lead or cell open?", progress_columns)
                  << std::flush;
        return;
    }
    const std::string progress =
        fmt::format("  {:7.1f} mV, {:2} of {}, {:.1f} mV{}", reading->point.value.potential_mv,
                    reading->readings.size(), settled_readings, reading->point.value.spread_mv,
                    reading->lies_still() ? "; leads?" : "");
    std::cerr << fmt::format("\r{:<{}}", progress, progress_columns) << std::flush;
}

} // namespace

Result<PointSeen> read_point(Logger& logger, const LoggerFacts& facts, double ac_stop_mv,
                             Answers& answers) {
    PointWatch watch(facts, ac_stop_mv);
    bool insisted = false; // perhaps before the first reading has come
    bool left = false;
    const auto watched = logger.live([&](const wire::LiveReading& live) {
        watch.take(live);
        show(watch.reading());
        const auto word = answers.next_if({"!", "x"});
        insisted = insisted || word == "!";
        left = left || word == "x";
        if (watch.is_done(insisted) || left || watch.is_too_long() || interrupted())
            return AfterReading::end;
        return watch.wants_look() ? AfterReading::look_at_leads : AfterReading::go_on;
    });
    if (isatty(STDERR_FILENO) != 0) std::cerr << '\n';
    if (!watched) return watched.error();
    if (interrupted()) return Error{ErrorCode::interrupted, "ended by Ctrl-C", "", ""};
    if (!watch.is_done(insisted) && watch.is_too_long())
        std::cerr << fitted_words(fmt::format(
            "  not settled in {} readings{}. Look at clip, lead and cell; while it reads, ! takes "
            "it as it is.\n",
            longest_watch_readings, watch.reading() ? "" : ": the lead or the cell is open"));
    PointSeen seen = watch.seen(insisted);
    if (left) seen.taken.reset(); // even where it settled in the same second
    return seen;
}

} // namespace quaycell
