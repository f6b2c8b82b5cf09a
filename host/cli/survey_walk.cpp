#include "cli/survey_walk.h"

#include "cli/author.h"
#include "cli/survey_answer.h"
#include "cli/survey_reading.h"
#include "diagnosis/practice.h"
#include "diagnosis/survey_steps.h"
#include "electrode/potential.h"
#include "judging/judged_survey.h"
#include "judging/survey_log.h"

#include <algorithm>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

void say(SurveyStep step) {
    for (const StepWords& words : survey_step_words()) {
        if (words.step != step) continue;
        if (!words.what.empty()) std::cerr << "  " << words.what << '\n';
        if (!words.caution.empty()) std::cerr << "  CAUTION: " << words.caution << '\n';
    }
}

void complain(const Error& error) {
    std::cerr << "  " << to_text(error) << '\n';
}

class Walk {
  public:
    Walk(KeptSurvey& kept, const WalkedSurvey& around, Answers& answers)
        : kept_(kept), log_(around.archive, kept), around_(around), answers_(answers),
          state_(around.state) {}

    Result<Done> run() {
        if (state_ != last_state(kept_.survey))
            if (const auto kept = keep(EntryKind::state, state_words(state_)); !kept) return kept;
        say(SurveyStep::begin);
        tell_ac_found();
        std::cerr << fmt::format("  A reading has settled with {}. ? lists the words.\n",
                                 kept_.row.criterion);
        go_on_from(0);
        while (!left_) {
            ask();
            const auto line = answers_.next();
            if (!line) return unfinished(line.error());
            if (!*line)
                return unfinished(
                    {ErrorCode::refused, "the answers end before \"finish\"", "", ""});
            const auto answer = survey_answer(**line);
            if (!answer) {
                complain(answer.error());
                continue;
            }
            if (const auto done = act(*answer); !done) {
                if (done.error().code != ErrorCode::wrong_usage) return unfinished(done.error());
                complain(done.error());
            }
        }
        return Done{};
    }

  private:
    /// After too much AC nobody is told how to go on: an electrician comes first.
    Error unfinished(Error error) const {
        error.remedy +=
            fmt::format("{}Every point so far is kept{}", error.remedy.empty() ? "" : " ",
                        stopped_by_ac_ ? "." : "; go on with --resume.");
        return error;
    }

    /// Of an earlier part of the walk.
    void tell_ac_found() const {
        const auto found = with_ac_above(kept_.survey, practice("ac-stop"));
        for (const SurveyEntry* entry : found)
            std::cerr << fmt::format("  {} has carried {:.0f} mV rms of AC (entry {}).\n",
                                     entry->point, *entry->ac_mv, entry->number);
        if (!found.empty()) say(SurveyStep::ac_seen);
    }

    void ask() const {
        if (!at_) {
            std::cerr << fmt::format("\nall points read: {}\n  finish, plug, unplug, "
                                     "anodes-off, dock, check, back: ",
                                     state_words(state_))
                      << std::flush;
            return;
        }
        const SurveyPoint& point = kept_.survey.points[*at_];
        std::cerr << fmt::format("\npoint {} of {}: {}{}\n  {}\n  {}, or a word: ", *at_ + 1,
                                 kept_.survey.points.size(), point.name,
                                 point.metal.empty() ? "" : " (" + point.metal + ")",
                                 state_words(state_),
                                 around_.logger != nullptr ? "Enter to read" : "the reading")
                  << std::flush;
    }

    Result<Done> act(const SurveyAnswer& answer) {
        switch (answer.word) {
        case SurveyWord::read:
            return read(answer.rest);
        case SurveyWord::skip:
            return skip(answer.rest);
        case SurveyWord::back:
            at_ = point_before(kept_.survey, at_.value_or(kept_.survey.points.size()));
            return Done{};
        case SurveyWord::go:
            return go(answer.rest);
        case SurveyWord::note:
            return keep(EntryKind::note, answer.rest);
        case SurveyWord::photo:
            return keep(EntryKind::photo, answer.rest);
        case SurveyWord::reference:
            return reference(answer.rest);
        case SurveyWord::strike:
            return strike(answer.rest);
        case SurveyWord::plug:
            return change({ShoreCord::plugged, state_.anodes}, SurveyStep::plug_in);
        case SurveyWord::unplug:
            return change({ShoreCord::unplugged, state_.anodes}, SurveyStep::unplug);
        case SurveyWord::anodes_off:
            return change({state_.shore, Anodes::disconnected}, SurveyStep::disconnect_anodes);
        case SurveyWord::anodes_on:
            return change({state_.shore, Anodes::connected}, SurveyStep::connect_anodes);
        case SurveyWord::dock:
            return dock();
        case SurveyWord::check:
            return check_cell(answer.rest);
        case SurveyWord::add:
            return add(answer.rest);
        case SurveyWord::list:
            return show_all();
        case SurveyWord::help:
            std::cerr << survey_help();
            return Done{};
        case SurveyWord::quit:
            std::cerr << "  every point is kept; go on with --resume\n";
            left_ = true;
            return Done{};
        case SurveyWord::finish:
            return finish();
        }
        return Done{};
    }

    Result<Done> read(const std::string& typed) {
        if (!at_)
            return Error{ErrorCode::wrong_usage, "all points of this pass are read", "",
                         "Type finish, back, or what changes"};
        if (typed.empty() != (around_.logger != nullptr))
            return around_.logger != nullptr
                       ? Error{ErrorCode::wrong_usage, "the logger reads this survey", "",
                               "Press Enter alone; a reference instrument's reading is \"reference "
                               "V\""}
                       : Error{ErrorCode::wrong_usage, "a reading is expected", "",
                               "Type what the multimeter shows, for instance -0.87V"};
        SurveyEntry entry = blank(EntryKind::reading);
        std::vector<std::uint8_t> raw;
        if (around_.logger != nullptr) {
            const auto seen =
                read_point(*around_.logger, *kept_.logger, practice("ac-stop"), answers_);
            if (!seen) return seen.error();
            const auto& reading = seen->taken;
            if (!reading) return without_reading(seen->ac_mv);
            const LivePoint& point = reading->point;
            entry.potential_mv = point.value.potential_mv;
            entry.spread_mv = point.value.spread_mv;
            entry.ac_mv = is_too_much_ac(seen->ac_mv) ? seen->ac_mv : point.ac_mv;
            entry.settled = reading->settled;
            raw = to_bytes(reading->readings);
            if (point.temperature_c) kept_.temperature_c = point.temperature_c;
        } else {
            const auto reading = typed_reading(typed);
            if (!reading) return as_wrong_usage(reading.error());
            entry.potential_mv = reading->potential_mv;
            entry.ac_mv = reading->ac_mv;
            entry.settled = true; // whoever typed it saw it stand still
        }
        entry.at = written_now();
        if (const auto put = log_.put(entry, std::move(raw)); !put) return put;
        if (const auto told = tell_point(entry); !told) return told;
        if (is_too_much_ac(entry.ac_mv)) return stop_for_ac(entry);
        go_on_from(*at_ + 1);
        return Done{};
    }

    static bool is_too_much_ac(std::optional<double> ac_mv) {
        return ac_mv && *ac_mv > practice("ac-stop");
    }

    /// Too much AC is kept even where no reading could be.
    Result<Done> without_reading(std::optional<double> ac_mv) {
        if (!is_too_much_ac(ac_mv)) return Done{};
        SurveyEntry entry = blank(EntryKind::note);
        entry.ac_mv = ac_mv;
        entry.text = fmt::format("{:.0f} mV rms of AC before there was a reading", *ac_mv);
        if (const auto put = log_.put(entry, {}); !put) return put;
        return stop_for_ac(entry);
    }

    Error stop_for_ac(const SurveyEntry& entry) {
        say(SurveyStep::ac_seen);
        stopped_by_ac_ = true;
        return {ErrorCode::refused,
                fmt::format("{} carries {:.0f} mV rms of AC, more than the {:g} mV that a survey "
                            "goes on with",
                            entry.point, *entry.ac_mv, practice("ac-stop")),
                "", "Nobody in the water; call an electrician."};
    }

    /// What was mistyped is asked for again.
    static Error as_wrong_usage(Error error) {
        error.code = ErrorCode::wrong_usage;
        return error;
    }

    /// The point as it now stands, and what is the matter with it.
    Result<Done> tell_point(const SurveyEntry& entry) {
        auto judged = log_.judged(around_.boat);
        if (!judged) return judged.error();
        std::cerr << "  entry " << entry.number << (entry.settled ? ": " : ", NOT SETTLED: ")
                  << point_text(*judged, entry.point, state_);
        return Done{};
    }

    Result<Done> show_all() {
        auto judged = log_.judged(around_.boat);
        if (!judged) return judged.error();
        std::cerr << survey_text(*judged);
        return Done{};
    }

    Result<Done> skip(const std::string& why) {
        if (!at_) return Error{ErrorCode::wrong_usage, "there is no point to skip", "", ""};
        if (const auto kept = keep(EntryKind::skip, why); !kept) return kept;
        go_on_from(*at_ + 1);
        return Done{};
    }

    Result<Done> go(const std::string& name) {
        const SurveyPoint* point = point_named(kept_.survey, name);
        if (point == nullptr)
            return Error{ErrorCode::wrong_usage, fmt::format("there is no point \"{}\"", name), "",
                         "Type add POINT to have one"};
        if (point->role == PointRole::dock_earth) say(SurveyStep::dock_earth);
        at_ = static_cast<std::size_t>(point - kept_.survey.points.data());
        return Done{};
    }

    Result<Done> finish() {
        left_ = true;
        for (const UnreadPoint& each : unread(kept_.survey))
            std::cerr << fmt::format("  neither read nor skipped, {}: {}\n",
                                     state_words(each.state), each.point->name);
        if (log_.last_reading() == nullptr) std::cerr << "  nothing has been read\n";
        return keep(EntryKind::finish, "");
    }

    /// Of the same point and state as the last reading, which it is about.
    Result<Done> about_last_reading(EntryKind kind, std::string text, double potential_mv) {
        const SurveyEntry* last = log_.last_reading();
        if (last == nullptr)
            return Error{ErrorCode::wrong_usage, "nothing has been read yet", "", ""};
        SurveyEntry entry{0, written_now(), kind, last->point,  last->state,    potential_mv,
                          0, true,          {},   last->number, std::move(text)};
        std::cerr << fmt::format("  {}: {}\n", entry.point, name_of(kind));
        return log_.put(entry, {});
    }

    Result<Done> reference(const std::string& typed) {
        const auto potential_mv = potential_from(typed, "");
        if (!potential_mv) return as_wrong_usage(potential_mv.error());
        return about_last_reading(EntryKind::reference, "", *potential_mv);
    }

    Result<Done> strike(const std::string& why) {
        const SurveyEntry* last = log_.last_reading();
        const std::string point = last == nullptr ? std::string() : last->point;
        const auto struck = about_last_reading(EntryKind::strike, why, 0);
        if (!struck) return struck;
        const SurveyState was = kept_.survey.entries.back().state;
        if (was != state_) {
            std::cerr << fmt::format("  To be read again as it was: {}\n", state_words(was));
            if (was.shore != state_.shore)
                say(was.shore == ShoreCord::plugged ? SurveyStep::plug_in : SurveyStep::unplug);
            if (was.anodes != state_.anodes)
                say(was.anodes == Anodes::connected ? SurveyStep::connect_anodes
                                                    : SurveyStep::disconnect_anodes);
            state_ = was;
            if (const auto kept = keep(EntryKind::state, state_words(state_)); !kept) return kept;
        }
        return go(point);
    }

    Result<Done> change(SurveyState to, SurveyStep step) {
        say(step);
        state_ = to;
        go_on_from(0);
        return keep(EntryKind::state, state_words(state_));
    }

    Result<Done> dock() {
        const auto& points = kept_.survey.points;
        const auto known = std::ranges::find(points, PointRole::dock_earth, &SurveyPoint::role);
        if (known != points.end()) return go(known->name);
        std::string name = "dock earth";
        while (point_named(kept_.survey, name) != nullptr) // a fitting may be called so
            name += " contact";
        const auto put = log_.put(SurveyPoint{name, PointRole::dock_earth, "", {}});
        return put ? go(name) : put;
    }

    Result<Done> add(const std::string& typed) {
        const auto point = typed_point(typed);
        if (!point) return point.error();
        if (point_named(kept_.survey, point->name) != nullptr)
            return Error{ErrorCode::wrong_usage,
                         fmt::format("there is a point \"{}\" already", point->name), "", ""};
        if (const auto put = log_.put(*point); !put) return put;
        return go(point->name);
    }

    Result<Done> check_cell(const std::string& typed) {
        say(SurveyStep::compare_cell);
        const auto apart_mv = parse_potential_mv(typed); // of which 1.5 mV is a usual one
        if (!apart_mv) return as_wrong_usage(apart_mv.error());
        const auto found = compare_cells(*apart_mv);
        if (!found) return as_wrong_usage(found.error());
        std::cerr << fmt::format("  {}: {}\n", name_of(found->finding), found->why);
        const Instant now = written_now();
        return log_.archive().put_cell_check(
            {kept_.row.cell_serial, now, "cell", found->difference_mv,
             std::string(name_of(found->finding)), around_.author, now});
    }

    SurveyEntry blank(EntryKind kind) const {
        SurveyEntry entry;
        entry.at = written_now();
        entry.kind = kind;
        entry.state = state_;
        if (at_ && kind != EntryKind::finish && kind != EntryKind::state)
            entry.point = kept_.survey.points[*at_].name;
        return entry;
    }

    Result<Done> keep(EntryKind kind, std::string text) {
        SurveyEntry entry = blank(kind);
        entry.text = std::move(text);
        return log_.put(entry, {});
    }

    void go_on_from(std::size_t index) { at_ = next_point(kept_.survey, state_, index); }

    KeptSurvey& kept_;
    SurveyLog log_; ///< of kept_
    const WalkedSurvey& around_;
    Answers& answers_;
    SurveyState state_;
    std::optional<std::size_t> at_; ///< nothing: all points of this pass are done
    bool left_ = false;
    bool stopped_by_ac_ = false;
};

} // namespace

Result<Done> walk(KeptSurvey& kept, const WalkedSurvey& around, Answers& answers) {
    return Walk(kept, around, answers).run();
}

} // namespace quaycell
