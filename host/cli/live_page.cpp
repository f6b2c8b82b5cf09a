#include "cli/live_page.h"

#include "cli/interrupt.h"
#include "cli/thread_bug.h"
#include "judging/json_text.h"
#include "judging/live_view.h"
#include "judging/live_watch.h"

#include <boost/json.hpp>
#include <chrono>
#include <optional>

namespace quaycell {

namespace {

Instant now() {
    return std::chrono::floor<Milliseconds>(std::chrono::system_clock::now());
}

void tell_lost(web::LiveFeed& feed, const std::string& why) {
    feed.tell(to_line(boost::json::object{{"lost", why}}));
}

/// Who is told, and what outlives a loss of the line.
struct Listening {
    web::LiveFeed& feed;
    web::SurveyDesk& desk;
    std::optional<LiveWatch> watch{}; ///< from the first reading on
    int calibration_turn = 0;         ///< that it goes by; 0: none
    std::optional<Instant> shore_said_at{};
    std::uint64_t heard = 0;
};

Result<Done> listen(Logger& logger, const BoatOptions& boat, Scale display, Listening& to) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const LoggerFacts facts{logger.hello().device_id, *circuit, *calibration};
    to.desk.meet(logger.hello(), facts);
    // Calibrated anew while it was away: what was read before goes by another one.
    const int turn = facts.calibration ? facts.calibration->turn : 0;
    if (turn != to.calibration_turn) {
        to.watch.reset();
        to.shore_said_at.reset();
        to.calibration_turn = turn;
    }
    std::optional<Error> trouble;
    const auto outcome = logger.live([&](const wire::LiveReading& reading) {
        if (!to.watch) {
            auto judge = LiveJudge::prepare(boat, facts, reading, display);
            if (!judge) {
                trouble = judge.error();
                return AfterReading::end;
            }
            to.watch.emplace(std::move(*judge), facts);
        }
        const auto asked_by_survey = to.desk.hear(reading);
        if (const auto word = to.desk.shore(); word && word->at != to.shore_said_at) {
            to.watch->say_shore(*word);
            to.shore_said_at = word->at;
        }
        const LiveView view = to.watch->take(reading, now());
        to.feed.tell(to_line(live_view_json(view)), view.latest.time,
                     view.shows_metal ? view.latest.display_mv : missing_value);
        ++to.heard;
        if (interrupted()) return AfterReading::end;
        // A look would only hold up a fitting that is being read and that asks for its own.
        return asked_by_survey.value_or(view.leads_to_be_looked_at) ? AfterReading::look_at_leads
                                                                    : AfterReading::go_on;
    });
    if (trouble) return *trouble;
    return outcome;
}

} // namespace

Patience patience_of_page(web::LiveFeed& feed) {
    constexpr std::chrono::years as_long_as_served{1};
    return {as_long_as_served, interrupted, [&feed](const Error& loss) {
                tell_lost(feed, "The logger is lost: " + loss.what +
                                    ". Look at its cable and its power; it is waited for.");
            }};
}

Result<Done> feed_live(SteadyLogger& logger, const BoatOptions& boat, Scale display,
                       web::LiveFeed& feed, web::SurveyDesk& desk) {
    const auto tell_end = [&feed](const std::string& why) {
        tell_lost(feed, "There are no more readings: " + why);
    };
    Listening to{feed, desk};
    try {
        auto outcome =
            logger.keep_at([&](Logger& found) { return listen(found, boat, display, to); },
                           [&] { return to.heard; });
        if (outcome || outcome.error().code == ErrorCode::interrupted) return Done{};
        tell_end(to_text(outcome.error()));
        return outcome;
    } catch (const std::exception& bug) {
        tell_end(bug_words(bug));
        throw;
    }
}

} // namespace quaycell
