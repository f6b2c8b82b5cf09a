// A survey that is walked from a page: the same walk, by the same words, as in a terminal.
#pragma once

#include "judging/live_view.h"
#include "judging/survey_start.h"
#include "judging/survey_walk.h"
#include "web/site.h"

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

namespace quaycell::web {

/// Told by the thread that hears the logger, asked by the one that answers pages.
class SurveyDesk {
  public:
    /// `with_logger`: a logger reads, which meet() will name; else readings are typed in. `boat`
    /// with the bytes of its files.
    SurveyDesk(std::string archive_file, BoatOptions boat, bool with_logger)
        : archive_file_(std::move(archive_file)), boat_(std::move(boat)),
          with_logger_(with_logger) {}

    /// The logger that is on the line from now on.
    void meet(const wire::HelloReply& hello, const LoggerFacts& facts);
    /// Whether the logger is to look at its leads; nothing while no point is read.
    std::optional<bool> hear(const wire::LiveReading& live);
    /// What was last said of the shore power cord; nothing where nobody has walked.
    std::optional<ShoreWord> shore();

    /// How the walk stands, as JSON.
    Response state();
    /// A new survey, by the fields shore, travel, and without a logger meter and input_mohm; or, by
    /// the field resume, the newest one, where that is not finished.
    Response begin(const Query& query);
    /// A line of the walk, as typed in a terminal; empty where the logger is to read. `turn`: of
    /// the state that whoever says it has seen; of an older one nothing is done.
    Response say(const std::string& line, const std::string& turn);

  private:
    struct Walking {
        Walking(Archive opened, const BoatOptions& boat, KeptSurvey kept, bool by_logger,
                SurveyState state, std::string author)
            : archive(std::move(opened)),
              walk(std::move(kept), {archive, boat, by_logger, state, std::move(author)}) {}

        Archive archive;
        SurveyWalk walk;
        std::optional<PointWatch> watch; ///< while the logger reads
        bool insisted = false;
        Talk talk;    ///< what was said last
        int turn = 0; ///< counts what has been done, so that nothing is done twice by mistake
    };
    /// What is known of the logger.
    struct Met {
        wire::HelloReply hello;
        LoggerFacts facts;
    };

    Result<Done> open(const Query& query);
    Result<KeptSurvey> kept_for(const Query& query, Archive& archive) const;
    Result<Done> act(const std::string& line);
    Result<Done> read();
    Result<Done> meet_again();
    void take();
    void take_stock();
    Response answer(const Result<Done>& done);
    boost::json::object stands();

    std::mutex mutex_;
    std::string archive_file_;
    BoatOptions boat_;
    bool with_logger_;
    std::optional<Met> met_;
    std::optional<ShoreWord> shore_;
    std::unique_ptr<Walking> walking_; ///< none when the walk is over: its archive is free again
    std::string ended_;                ///< how it stood then, as JSON; empty: none has ended
};

/// "/api/walk" tells how it stands; "/api/walk/begin" and "/api/walk/say" change it. `desk` has to
/// outlive the routes.
std::map<std::string, Route> survey_routes(SurveyDesk& desk);

/// Whether it can be a line of a walk: text in UTF-8 without control characters, and not too long.
bool is_line(std::string_view text);

} // namespace quaycell::web
