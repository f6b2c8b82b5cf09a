#include "cli/live_page.h"

#include "cli/interrupt.h"
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

Result<Done> watch(Logger& logger, const BoatOptions& boat, Scale display, web::LiveFeed& feed,
                   web::SurveyDesk& desk, std::uint64_t& heard) {
    const auto circuit = logger.circuit();
    if (!circuit) return circuit.error();
    const auto calibration = logger.calibration();
    if (!calibration) return calibration.error();
    const LoggerFacts facts{logger.hello().device_id, *circuit, *calibration};
    desk.meet(logger.hello(), facts);
    std::optional<LiveWatch> watched;
    std::optional<Instant> shore_said_at;
    std::optional<Error> trouble;
    const auto outcome = logger.live([&](const wire::LiveReading& reading) {
        if (!watched) {
            auto judge = LiveJudge::prepare(boat, facts, reading, display);
            if (!judge) {
                trouble = judge.error();
                return false;
            }
            watched.emplace(std::move(*judge), facts);
        }
        desk.hear(reading);
        if (const auto word = desk.shore(); word && word->at != shore_said_at) {
            watched->say_shore(*word);
            shore_said_at = word->at;
        }
        const LiveView view = watched->take(reading, now());
        feed.tell(to_line(live_view_json(view)), view.latest.time,
                  view.shows_metal ? view.latest.display_mv : missing_value);
        ++heard;
        return !interrupted();
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
    std::uint64_t heard = 0;
    auto outcome = logger.keep_at(
        [&](Logger& found) { return watch(found, boat, display, feed, desk, heard); },
        [&] { return heard; });
    if (outcome || outcome.error().code == ErrorCode::interrupted) return Done{};
    tell_lost(feed, "There are no more readings: " + to_text(outcome.error()));
    return outcome;
}

} // namespace quaycell
