#include "cli/survey_reading.h"

#include "cli/interrupt.h"
#include "series/conversion.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iostream>
#include <unistd.h>

namespace quaycell {

namespace {

constexpr int longest_readings = 120; ///< about two minutes

/// The last readings at a point, ten at most.
class Held {
  public:
    explicit Held(const LoggerFacts& facts) : facts_(facts) {}

    void take(const wire::LiveReading& live) {
        ++seen_;
        const double ac_mv = Conversion(facts_).ac_mv(live.reading, 0);
        if (!std::isnan(ac_mv)) ac_mv_ = std::max(ac_mv_.value_or(0), ac_mv);
        if (!shows_the_metal(live, facts_)) {
            last_.clear();
            return;
        }
        last_.push_back(live);
        if (last_.size() > settled_readings) last_.erase(last_.begin());
    }

    std::optional<SurveyReading> reading() const {
        const auto point = point_of(last_, facts_);
        if (!point) return std::nullopt;
        return SurveyReading{last_, *point, is_settled(point->value, last_.size())};
    }

    std::optional<double> ac_mv() const { return ac_mv_; }

    bool too_long() const { return seen_ >= longest_readings; }

  private:
    const LoggerFacts& facts_;
    std::vector<wire::LiveReading> last_;
    std::optional<double> ac_mv_;
    int seen_ = 0;
};

void show(const std::optional<SurveyReading>& reading) {
    if (isatty(STDERR_FILENO) == 0) return;
    if (!reading) {
        std::cerr << "\r  lead or cell open?       " << std::flush;
        return;
    }
    std::cerr << fmt::format("\r  {:7.1f} mV, {:2} of {}, {:.1f} mV ",
                             reading->point.value.potential_mv, reading->readings.size(),
                             settled_readings, reading->point.value.spread_mv)
              << std::flush;
}

} // namespace

Result<PointSeen> read_point(Logger& logger, const LoggerFacts& facts, double ac_stop_mv,
                             Answers& answers) {
    Held held(facts);
    std::optional<SurveyReading> taken;
    bool insisted = false; // perhaps before the first reading has come
    const auto watched = logger.live([&](const wire::LiveReading& live) {
        held.take(live);
        auto reading = held.reading();
        show(reading);
        const auto word = answers.next_if({"!", "x"});
        insisted = insisted || word == "!";
        const bool stopped = held.ac_mv().value_or(0) > ac_stop_mv;
        const bool enough = reading && (reading->settled || insisted || stopped);
        if (enough) taken = std::move(reading);
        return !enough && !stopped && word != "x" && !held.too_long() && !interrupted();
    });
    if (isatty(STDERR_FILENO) != 0) std::cerr << '\n';
    if (!watched) return watched.error();
    if (interrupted()) return Error{ErrorCode::interrupted, "ended by Ctrl-C", "", ""};
    if (!taken && held.too_long())
        std::cerr << fmt::format(
            "  not settled in {} readings{}. Look at clip, lead and cell; while it reads, ! takes "
            "it as it is.\n",
            longest_readings, held.reading() ? "" : ": the lead or the cell is open");
    return PointSeen{std::move(taken), held.ac_mv()};
}

} // namespace quaycell
