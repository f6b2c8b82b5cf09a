#include "web/survey_desk.h"

#include "chart/text.h"
#include "diagnosis/practice.h"
#include "judging/author.h"
#include "judging/json_text.h"

#include <algorithm>
#include <boost/json.hpp>
#include <charconv>
#include <fmt/format.h>

namespace quaycell::web {

namespace {

namespace json = boost::json;

constexpr std::size_t longest_line = 1000;

json::array talk_json(const Talk& talk) {
    json::array said;
    for (const Said& each : talk)
        said.push_back({{"text", each.text}, {"caution", each.is_caution}});
    return said;
}

/// What has come out at a point in the present state of the boat.
json::object point_json(const JudgedSurvey& judged, const SurveyPoint& point, SurveyState state) {
    const Survey& survey = judged.kept.survey;
    json::object entry{{"name", point.name},
                       {"role", name_of(point.role)},
                       {"metal", point.metal},
                       {"done", is_done(survey, point.name, state)},
                       {"words", point_text(judged, point.name, state)},
                       {"standard_mv", nullptr},
                       {"verdict", nullptr},
                       {"bond", nullptr},
                       {"settled", true},
                       {"ac_too_high", false}};
    for (const PointResult& result : judged.assessment.points) {
        if (result.point->name != point.name || result.state != state) continue;
        entry["standard_mv"] = rounded(result.judgement.potential_mv, 1);
        entry["verdict"] = name_of(result.judgement.verdict);
        entry["bond"] = name_of(result.bond);
        entry["settled"] = std::ranges::all_of(
            result.readings, [](const SurveyEntry* reading) { return reading->settled; });
    }
    for (const SurveyEntry* seen : with_ac_above(survey, practice("ac-stop")))
        if (seen->point == point.name) entry["ac_too_high"] = true;
    return entry;
}

json::value reading_json(const std::optional<PointWatch>& watch) {
    if (!watch) return nullptr;
    const auto now = watch->reading();
    if (!now) return {{"readings", 0}, {"needed", settled_readings}};
    return {{"readings", now->readings.size()},
            {"needed", settled_readings},
            {"potential_mv", rounded(now->point.value.potential_mv, 1)},
            {"spread_mv", rounded(now->point.value.spread_mv, 1)},
            {"lies_still", now->lies_still()}};
}

Result<double> mohm_from(const std::string& typed) {
    double value = 0;
    if (typed.empty()) return value;
    const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
    constexpr double least_mohm = 0.001, most_mohm = 1e6;
    if (error == std::errc() && end == typed.data() + typed.size() && value >= least_mohm &&
        value <= most_mohm)
        return value;
    return Error{ErrorCode::wrong_usage, fmt::format("\"{}\" is no input resistance", typed), "",
                 "Give megohms, as 10"};
}

} // namespace

void SurveyDesk::meet(const wire::HelloReply& hello, const LoggerFacts& facts) {
    const std::scoped_lock lock(mutex_);
    met_ = Met{hello, facts};
    if (!walking_) return;
    const auto met = meet_again();
    if (met && !walking_->watch) return;
    // What was seen before the line broke does not count.
    walking_->watch.reset();
    ++walking_->turn;
    walking_->talk = {
        {met ? "The logger was lost while it read. Read this point again." : to_text(met.error()),
         true}};
}

/// Of the walk's logger, or of another one in its place.
Result<Done> SurveyDesk::meet_again() {
    const KeptSurvey& kept = walking_->walk.kept();
    if (auto error = other_logger(kept, met_->facts.device_id, archive_file_)) return *error;
    return walking_->walk.meet(met_->hello, met_->facts);
}

std::optional<ShoreWord> SurveyDesk::shore() {
    const std::scoped_lock lock(mutex_);
    return shore_;
}

std::optional<bool> SurveyDesk::hear(const wire::LiveReading& live) {
    const std::scoped_lock lock(mutex_);
    if (!walking_ || !walking_->watch) return std::nullopt;
    PointWatch& watch = *walking_->watch;
    watch.take(live);
    if (!watch.is_done(walking_->insisted) && !watch.is_too_long()) return watch.wants_look();
    take();
    take_stock();
    return std::nullopt;
}

/// After whatever may have changed the state of the boat, or ended the walk.
void SurveyDesk::take_stock() {
    if (!walking_) return;
    const ShoreCord cord = walking_->walk.state().shore;
    if (!shore_ || shore_->cord != cord) shore_ = ShoreWord{cord, written_now()};
    if (!walking_->walk.is_over()) return;
    ended_ = to_line(stands());
    walking_.reset();
}

void SurveyDesk::take() {
    Walking& walking = *walking_;
    const PointSeen seen = walking.watch->seen(walking.insisted);
    const bool is_open = !walking.watch->reading();
    walking.watch.reset();
    ++walking.turn;
    auto talk = walking.walk.take(seen);
    if (!talk) {
        walking.talk = {{to_text(talk.error()), true}};
        return;
    }
    if (talk->empty())
        talk->push_back(
            {fmt::format("Not settled in {} readings{}. Look at clip, lead and cell.",
                         longest_watch_readings, is_open ? ": the lead or the cell is open" : "")});
    walking.talk = std::move(talk).value();
}

Response SurveyDesk::state() {
    const std::scoped_lock lock(mutex_);
    return answer(Done{});
}

Response SurveyDesk::begin(const Query& query) {
    const std::scoped_lock lock(mutex_);
    const auto opened = open(query);
    if (opened) take_stock();
    return answer(opened);
}

Response SurveyDesk::say(const std::string& line, const std::string& turn) {
    const std::scoped_lock lock(mutex_);
    if (walking_ && turn != std::to_string(walking_->turn))
        return words(Status::conflict, "The survey has gone on meanwhile: look where it stands.");
    const auto done = act(line);
    if (done && walking_) ++walking_->turn;
    take_stock();
    return answer(done);
}

Result<KeptSurvey> SurveyDesk::kept_for(const Query& query, Archive& archive) const {
    SurveyStart start;
    start.boat = boat_;
    const std::optional<LoggerFacts> facts = met_ ? std::optional(met_->facts) : std::nullopt;
    if (!field(query, "resume").empty()) {
        auto kept = survey_to_resume(0, start, with_logger_, archive, archive_file_);
        if (kept && facts)
            if (auto error = other_logger(*kept, facts->device_id, archive_file_)) return *error;
        if (kept && !with_logger_ && kept->row.device != 0)
            return Error{ErrorCode::refused, "this survey was read with a logger", "",
                         "Start quaycell serve with --port."};
        return kept;
    }
    start.cell_travel = field(query, "travel");
    if (!with_logger_) {
        start.multimeter = field(query, "meter");
        if (start.multimeter.empty())
            return Error{ErrorCode::wrong_usage, "nobody said which multimeter reads", "",
                         "Give its make and number"};
        const auto mohm = mohm_from(field(query, "input_mohm"));
        if (!mohm) return mohm.error();
        start.input_resistance_mohm = *mohm;
    }
    return begin_survey(start, facts, archive, archive_file_);
}

Result<Done> SurveyDesk::open(const Query& query) {
    if (walking_)
        return Error{ErrorCode::refused, "a survey is being walked already", "",
                     "Finish it, or leave it"};
    if (archive_file_.empty())
        return Error{ErrorCode::refused, "there is no archive to keep it in", "",
                     "Start quaycell serve with --archive FILE."};
    if (with_logger_ && !met_)
        return Error{ErrorCode::refused, "the logger has not been heard yet", "",
                     "Look at its cable and wait for the first reading"};
    if (met_ && !met_->facts.calibration)
        return Error{ErrorCode::refused, "the logger holds no calibration", "",
                     "Compare it with a multimeter first: quaycell calibrate"};
    const std::string shore = field(query, "shore");
    const bool resumes = !field(query, "resume").empty();
    const auto cord = shore_cord_named(shore);
    if (!cord && !(resumes && shore.empty())) return cord.error();
    auto archive = Archive::open(archive_file_, OpenMode::write_create);
    if (!archive) return archive.error();
    if (met_)
        if (auto done = keep_logger(*archive, met_->hello, met_->facts); !done) return done;
    auto kept = kept_for(query, *archive);
    if (!kept) return kept.error();
    SurveyState state = last_state(kept->survey);
    if (cord) state.shore = *cord;
    auto walking = std::make_unique<Walking>(std::move(*archive), boat_, std::move(*kept),
                                             with_logger_, state, author_from(""));
    auto talk = walking->walk.begin();
    if (!talk) return talk.error();
    walking->talk = std::move(talk).value();
    walking_ = std::move(walking);
    ended_.clear();
    shore_ = ShoreWord{state.shore, written_now()};
    return Done{};
}

Result<Done> SurveyDesk::act(const std::string& line) {
    if (!walking_)
        return Error{ErrorCode::wrong_usage, "no survey is being walked", "", "Begin one"};
    Walking& walking = *walking_;
    if (walking.watch) {
        if (line == "!") {
            walking.insisted = true;
            if (walking.watch->is_done(true)) take();
            return Done{};
        }
        if (line != "x")
            return Error{ErrorCode::wrong_usage, "the logger is reading", "",
                         "Take the reading as it is, or leave it, first"};
        walking.watch.reset();
        walking.talk = {{"Left without a reading."}};
        return Done{};
    }
    const auto answer = survey_answer(line);
    if (!answer) return answer.error();
    if (with_logger_ && answer->word == SurveyWord::read && answer->rest.empty()) return read();
    auto talk = walking.walk.act(*answer);
    if (!talk) return talk.error();
    walking.talk = std::move(talk).value();
    return Done{};
}

Result<Done> SurveyDesk::read() {
    if (auto error = walking_->walk.why_not_read()) return *error;
    if (auto error = other_logger(walking_->walk.kept(), met_->facts.device_id, archive_file_))
        return *error;
    walking_->watch.emplace(met_->facts, practice("ac-stop"));
    walking_->insisted = false;
    walking_->talk.clear();
    return Done{};
}

json::object SurveyDesk::stands() {
    json::object told{{"by_logger", with_logger_}, {"walking", walking_ != nullptr}};
    if (!walking_) return told;
    SurveyWalk& walk = walking_->walk;
    told["turn"] = walking_->turn;
    told["number"] = walk.kept().row.number;
    told["criterion"] = walk.kept().row.criterion;
    told["state"] = {{"shore", name_of(walk.state().shore)},
                     {"anodes", name_of(walk.state().anodes)},
                     {"words", state_words(walk.state())}};
    told["at"] = walk.at() == nullptr ? json::value(nullptr) : json::value(walk.at()->name);
    told["asked"] = walk.asked() ? json::value(state_words(*walk.asked())) : nullptr;
    told["reading"] = reading_json(walking_->watch);
    told["over"] = walk.is_over();
    told["stopped"] = walk.stopped() ? json::value(to_text(*walk.stopped())) : nullptr;
    told["talk"] = talk_json(walking_->talk);
    json::array points;
    if (const auto judged = walk.judged())
        for (const SurveyPoint& point : judged->kept.survey.points)
            points.push_back(point_json(*judged, point, walk.state()));
    else
        told["trouble"] = to_text(judged.error());
    told["points"] = std::move(points);
    return told;
}

Response SurveyDesk::answer(const Result<Done>& done) {
    if (done)
        return {Status::ok, "application/json",
                walking_ || ended_.empty() ? to_line(stands()) : ended_};
    const Error& error = done.error();
    const bool asked_wrongly = error.code == ErrorCode::wrong_usage ||
                               error.code == ErrorCode::refused ||
                               error.code == ErrorCode::not_found;
    std::string sentence = error.remedy.empty() ? error.what : error.what + ". " + error.remedy;
    if (!sentence.ends_with('.')) sentence += '.';
    return words(asked_wrongly ? Status::bad_request : Status::failed, std::move(sentence));
}

std::map<std::string, Route> survey_routes(SurveyDesk& desk) {
    return {{"/api/walk", {false, [&desk](const Asked&) { return desk.state(); }}},
            {"/api/walk/begin",
             {true, [&desk](const Asked& asked) { return desk.begin(asked.query); }}},
            {"/api/walk/say", {true, [&desk](const Asked& asked) {
                                   if (!is_line(asked.body))
                                       return words(Status::bad_request,
                                                    "This is no line of text.");
                                   return desk.say(asked.body, field(asked.query, "turn"));
                               }}}};
}

bool is_line(std::string_view text) {
    if (text.size() > longest_line) return false;
    const bool controls = std::ranges::any_of(text, [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte < 0x20 || byte == 0x7F;
    });
    return !controls && is_utf8(text);
}

} // namespace quaycell::web
