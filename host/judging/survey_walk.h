// A survey as it is walked: at which point, in which state of the boat, what each word does and
// what is then said. It talks to nobody itself: a terminal or a page shows what it says.
#pragma once

#include "diagnosis/survey_steps.h"
#include "judging/judged_survey.h"
#include "judging/point_watch.h"
#include "judging/survey_answer.h"
#include "judging/survey_log.h"

#include <optional>
#include <string>
#include <vector>

namespace quaycell {

/// One thing to say to whoever walks.
struct Said {
    std::string text; ///< may have several lines
    bool is_caution = false;
};
using Talk = std::vector<Said>;

/// What a walk is made in.
struct WalkAround {
    Archive& archive;
    const BoatOptions& boat;
    bool by_logger; ///< else readings are typed in
    SurveyState state;
    std::string author;
};

/// Whatever it takes is in the archive before it says so.
class SurveyWalk {
  public:
    SurveyWalk(KeptSurvey kept, WalkAround around)
        : kept_(std::move(kept)), log_(around.archive, kept_), around_(std::move(around)),
          state_(around_.state) {}
    SurveyWalk(const SurveyWalk&) = delete;
    SurveyWalk& operator=(const SurveyWalk&) = delete;

    /// Keeps the state that the walk begins in, and goes to the first point that is not done.
    Result<Talk> begin();

    /// What a word does; `read` takes a typed reading. A change on the boat is first told how to be
    /// made, and counts when somebody says that it is done. Errors: wrong_usage, when it cannot be
    /// done and nothing was changed; those of the archive.
    Result<Talk> act(const SurveyAnswer& answer);

    /// What the logger saw at the present point. Error as above.
    Result<Talk> take(const PointSeen& seen);

    /// An error (wrong_usage) unless a point is there to be read, in a state that is known.
    std::optional<Error> why_not_read() const;

    /// The survey's logger is on the line again, and may have been calibrated meanwhile: readings
    /// from now on go by that.
    Result<Done> meet(const wire::HelloReply& hello, const LoggerFacts& facts);

    /// The present point; null when all of this pass are done.
    const SurveyPoint* at() const;
    SurveyState state() const { return state_; }
    /// What is being changed on the boat, as it will be; nothing where nobody has to say so.
    std::optional<SurveyState> asked() const {
        return change_ ? std::optional(change_->to) : std::nullopt;
    }
    const KeptSurvey& kept() const { return kept_; }
    Result<JudgedSurvey> judged() { return log_.judged(around_.boat); }

    /// Nothing more is to be asked: finished, left, or stopped.
    bool is_over() const { return left_ || stopped_.has_value(); }
    /// The reason (refused), after more AC than a survey goes on with.
    const std::optional<Error>& stopped() const { return stopped_; }

  private:
    /// That somebody was told how to make.
    struct Change {
        SurveyState to;
        std::string then_at; ///< the point to go to when it is made; empty: the first
    };

    Result<Talk> read(const std::string& typed);
    Result<Talk> take(SurveyEntry entry, std::vector<std::uint8_t> live_readings);
    Result<Talk> without_reading(std::optional<double> ac_mv);
    Result<Talk> show_all();
    Result<Talk> skip(const std::string& why);
    Result<Talk> go(const std::string& name);
    Result<Talk> finish();
    Result<Talk> about_last_reading(EntryKind kind, std::string text, double potential_mv);
    Result<Talk> reference(const std::string& typed);
    Result<Talk> strike(const std::string& why);
    Result<Talk> ask_for(SurveyState to, SurveyStep step);
    Result<Talk> make_change();
    Result<Talk> leave_change();
    Result<Talk> dock();
    Result<Talk> add(const std::string& typed);
    Result<Talk> check_cell(const std::string& typed);
    Talk stop_for_ac(const SurveyEntry& entry, Talk talk);
    SurveyEntry blank(EntryKind kind) const;
    Result<Talk> keep_beside(EntryKind kind, const std::string& text);
    Result<Talk> keep(EntryKind kind, std::string text, Talk talk = {});
    void go_on_from(std::size_t index) { at_ = next_point(kept_.survey, state_, index); }

    KeptSurvey kept_;
    SurveyLog log_; ///< of kept_
    WalkAround around_;
    SurveyState state_;
    std::optional<std::size_t> at_; ///< nothing: all points of this pass are done
    std::optional<Change> change_;
    bool left_ = false;
    std::optional<Error> stopped_;
};

} // namespace quaycell
