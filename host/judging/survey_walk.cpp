#include "judging/survey_walk.h"

#include "diagnosis/next_to_nothing.h"
#include "diagnosis/practice.h"
#include "diagnosis/survey_steps.h"
#include "electrode/potential.h"
#include "judging/author.h"
#include "judging/options.h"
#include "judging/survey_start.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace quaycell {

namespace {

void say(Talk& talk, SurveyStep step) {
    for (const StepWords& words : survey_step_words()) {
        if (words.step != step) continue;
        // To stop is no way of going on with the walk.
        if (!words.what.empty())
            talk.push_back({std::string(words.what), step == SurveyStep::ac_seen});
        if (!words.caution.empty()) talk.push_back({std::string(words.caution), true});
    }
}

Talk said(std::string text) {
    return {{std::move(text)}};
}

Talk operator+(Talk first, const Talk& second) {
    first.insert(first.end(), second.begin(), second.end());
    return first;
}

Error wrong_usage(std::string what, std::string remedy = "") {
    return {ErrorCode::wrong_usage, std::move(what), "", std::move(remedy)};
}

/// What was mistyped is asked for again.
Error as_wrong_usage(Error error) {
    error.code = ErrorCode::wrong_usage;
    return error;
}

bool is_too_much_ac(std::optional<double> ac_mv) {
    return ac_mv && *ac_mv > practice("ac-stop");
}

/// What may be said while a change is being made.
constexpr std::array beside_a_change{SurveyWord::done,  SurveyWord::cancel, SurveyWord::note,
                                     SurveyWord::photo, SurveyWord::list,   SurveyWord::help,
                                     SurveyWord::quit};

constexpr const char* when_done = "Say done when that is so, cancel if it is not going to be.";

Error not_said_yet(SurveyState asked) {
    return wrong_usage("nobody has said yet whether it is so: " + state_words(asked),
                       "Say done if it is, cancel if it stays as it was");
}

Error nothing_to_answer() {
    return wrong_usage("nothing on the boat is being changed",
                       "Type plug, unplug, anodes-off or anodes-on first");
}

} // namespace

Result<Talk> SurveyWalk::begin() {
    Talk talk;
    say(talk, SurveyStep::begin);
    const auto found = with_ac_above(kept_.survey, practice("ac-stop"));
    for (const SurveyEntry* entry : found)
        talk.push_back({fmt::format("{} has carried {:.0f} mV rms of AC (entry {}).", entry->point,
                                    *entry->ac_mv, entry->number)});
    if (!found.empty()) say(talk, SurveyStep::ac_seen);
    talk.push_back({fmt::format("A reading has settled with {}.", kept_.row.criterion)});
    if (state_ != last_state(kept_.survey))
        if (const auto put = keep(EntryKind::state, state_words(state_)); !put) return put;
    go_on_from(0);
    return talk;
}

Result<Talk> SurveyWalk::act(const SurveyAnswer& answer) {
    if (change_ && std::ranges::find(beside_a_change, answer.word) == beside_a_change.end())
        return not_said_yet(change_->to);
    switch (answer.word) {
    case SurveyWord::read:
        return read(answer.rest);
    case SurveyWord::skip:
        return skip(answer.rest);
    case SurveyWord::back:
        at_ = point_before(kept_.survey, at_.value_or(kept_.survey.points.size()));
        return Talk{};
    case SurveyWord::go:
        return go(answer.rest);
    case SurveyWord::note:
        return keep_beside(EntryKind::note, answer.rest);
    case SurveyWord::photo:
        return keep_beside(EntryKind::photo, answer.rest);
    case SurveyWord::reference:
        return reference(answer.rest);
    case SurveyWord::strike:
        return strike(answer.rest);
    case SurveyWord::plug:
        return ask_for({ShoreCord::plugged, state_.anodes}, SurveyStep::plug_in);
    case SurveyWord::unplug:
        return ask_for({ShoreCord::unplugged, state_.anodes}, SurveyStep::unplug);
    case SurveyWord::anodes_off:
        return ask_for({state_.shore, Anodes::disconnected}, SurveyStep::disconnect_anodes);
    case SurveyWord::anodes_on:
        return ask_for({state_.shore, Anodes::connected}, SurveyStep::connect_anodes);
    case SurveyWord::done:
        return make_change();
    case SurveyWord::cancel:
        return leave_change();
    case SurveyWord::dock:
        return dock();
    case SurveyWord::check:
        return check_cell(answer.rest);
    case SurveyWord::add:
        return add(answer.rest);
    case SurveyWord::list:
        return show_all();
    case SurveyWord::help:
        return said(survey_help());
    case SurveyWord::quit:
        left_ = true;
        return said("every point is kept; go on with --resume");
    case SurveyWord::finish:
        return finish();
    }
    return Talk{};
}

std::optional<Error> SurveyWalk::why_not_read() const {
    if (change_) return not_said_yet(change_->to);
    if (at_) return std::nullopt;
    return wrong_usage("all points of this pass are read", "Finish, go back, or say what changes");
}

Result<Done> SurveyWalk::meet(const wire::HelloReply& hello, const LoggerFacts& facts) {
    if (auto put = keep_logger(around_.archive, hello, facts); !put) return put;
    const auto calibrated_at = [](const LoggerFacts& each) {
        return each.calibration ? each.calibration->unix_s : 0;
    };
    if (kept_.loggers.empty() || calibrated_at(kept_.loggers.back()) != calibrated_at(facts))
        kept_.loggers.push_back(facts);
    return Done{};
}

const SurveyPoint* SurveyWalk::at() const {
    return at_ ? &kept_.survey.points[*at_] : nullptr;
}

Result<Talk> SurveyWalk::read(const std::string& typed) {
    if (auto error = why_not_read()) return *error;
    if (around_.by_logger)
        return wrong_usage(
            "the logger reads this survey",
            "Let it read; a reference instrument's reading is kept by \"reference V\"");
    if (typed.empty())
        return wrong_usage("a reading is expected",
                           "Type what the multimeter shows, for instance -0.87V");
    const auto reading = typed_reading(typed);
    if (!reading) return as_wrong_usage(reading.error());
    SurveyEntry entry = blank(EntryKind::reading);
    entry.potential_mv = reading->potential_mv;
    entry.ac_mv = reading->ac_mv;
    entry.settled = true; // whoever typed it saw it stand still, as the criterion says
    return take(entry, {});
}

Result<Talk> SurveyWalk::take(const PointSeen& seen) {
    if (auto error = why_not_read()) return *error;
    if (!seen.taken) return without_reading(seen.ac_mv);
    const LivePoint& point = seen.taken->point;
    SurveyEntry entry = blank(EntryKind::reading);
    entry.potential_mv = point.value.potential_mv;
    entry.spread_mv = point.value.spread_mv;
    entry.ac_mv = is_too_much_ac(seen.ac_mv) ? seen.ac_mv : point.ac_mv;
    entry.settled = seen.taken->settled;
    if (point.temperature_c) kept_.temperature_c = point.temperature_c;
    return take(entry, to_bytes(seen.taken->readings));
}

/// Says how the point now stands, and what is the matter with it.
Result<Talk> SurveyWalk::take(SurveyEntry entry, std::vector<std::uint8_t> live_readings) {
    if (const auto put = log_.put(entry, std::move(live_readings)); !put) return put.error();
    const auto judged = log_.judged(around_.boat);
    if (!judged) return judged.error();
    Talk talk =
        said(fmt::format("entry {}{}{}", entry.number, entry.settled ? ": " : ", NOT SETTLED: ",
                         point_text(*judged, entry.point, state_)));
    if (const auto why = next_to_nothing(entry.potential_mv, kept_.survey.cell_scale))
        talk.push_back({*why + "; strike it where that is so"});
    if (is_too_much_ac(entry.ac_mv)) return stop_for_ac(entry, std::move(talk));
    go_on_from(*at_ + 1);
    return talk;
}

/// Too much AC is kept even where no reading could be.
Result<Talk> SurveyWalk::without_reading(std::optional<double> ac_mv) {
    if (!is_too_much_ac(ac_mv)) return Talk{};
    SurveyEntry entry = blank(EntryKind::note);
    entry.ac_mv = ac_mv;
    entry.text = fmt::format("{:.0f} mV rms of AC before there was a reading", *ac_mv);
    if (const auto put = log_.put(entry, {}); !put) return put.error();
    return stop_for_ac(entry, {});
}

Talk SurveyWalk::stop_for_ac(const SurveyEntry& entry, Talk talk) {
    say(talk, SurveyStep::ac_seen);
    stopped_ = Error{ErrorCode::refused,
                     fmt::format("{} carries {:.0f} mV rms of AC, more than the {:g} mV that a "
                                 "survey goes on with",
                                 entry.point, *entry.ac_mv, practice("ac-stop")),
                     "", "Nobody in the water; call an electrician."};
    return talk;
}

Result<Talk> SurveyWalk::show_all() {
    const auto judged = log_.judged(around_.boat);
    if (!judged) return judged.error();
    return said(survey_text(*judged));
}

Result<Talk> SurveyWalk::skip(const std::string& why) {
    if (!at_) return wrong_usage("there is no point to skip");
    auto kept = keep(EntryKind::skip, why);
    if (kept) go_on_from(*at_ + 1);
    return kept;
}

Result<Talk> SurveyWalk::go(const std::string& name) {
    const SurveyPoint* point = point_named(kept_.survey, name);
    if (point == nullptr)
        return wrong_usage(fmt::format("there is no point \"{}\"", name),
                           "Type add POINT to have one");
    at_ = static_cast<std::size_t>(point - kept_.survey.points.data());
    Talk talk;
    if (point->role == PointRole::dock_earth) say(talk, SurveyStep::dock_earth);
    return talk;
}

Result<Talk> SurveyWalk::finish() {
    Talk talk;
    for (const UnreadPoint& each : unread(kept_.survey))
        talk.push_back({fmt::format("neither read nor skipped, {}: {}", state_words(each.state),
                                    each.point->name)});
    if (log_.last_reading() == nullptr) talk.push_back({"nothing has been read"});
    auto kept = keep(EntryKind::finish, "", std::move(talk));
    if (kept) left_ = true;
    return kept;
}

/// Of the same point and state as the last reading, which it is about.
Result<Talk> SurveyWalk::about_last_reading(EntryKind kind, std::string text, double potential_mv) {
    const SurveyEntry* last = log_.last_reading();
    if (last == nullptr) return wrong_usage("nothing has been read yet");
    const double read_mv = last->potential_mv;
    SurveyEntry entry{0, written_now(), kind, last->point,  last->state,    potential_mv,
                      0, true,          {},   last->number, std::move(text)};
    if (const auto put = log_.put(entry, {}); !put) return put.error();
    return said(kind == EntryKind::strike
                    ? fmt::format("{}: entry {} struck", entry.point, entry.about)
                    : fmt::format("{}: reference {:.1f} mV beside {:.1f} mV of entry {}",
                                  entry.point, potential_mv, read_mv, entry.about));
}

Result<Talk> SurveyWalk::reference(const std::string& typed) {
    const auto potential_mv = potential_from(typed, "");
    if (!potential_mv) return as_wrong_usage(potential_mv.error());
    return about_last_reading(EntryKind::reference, "", *potential_mv);
}

Result<Talk> SurveyWalk::strike(const std::string& why) {
    auto talk = about_last_reading(EntryKind::strike, why, 0);
    if (!talk) return talk;
    const SurveyEntry struck = kept_.survey.entries.back();
    if (struck.state != state_) {
        talk->push_back({fmt::format("To be read again as it was: {}", state_words(struck.state))});
        if (struck.state.shore != state_.shore)
            say(*talk, struck.state.shore == ShoreCord::plugged ? SurveyStep::plug_in
                                                                : SurveyStep::unplug);
        if (struck.state.anodes != state_.anodes)
            say(*talk, struck.state.anodes == Anodes::connected ? SurveyStep::connect_anodes
                                                                : SurveyStep::disconnect_anodes);
        change_ = Change{struck.state, struck.point};
        return *talk + said(when_done);
    }
    const auto gone = go(struck.point);
    if (!gone) return gone;
    return *talk + *gone;
}

Result<Talk> SurveyWalk::ask_for(SurveyState to, SurveyStep step) {
    if (to == state_) return wrong_usage("it is so already: " + state_words(state_));
    Talk talk;
    say(talk, step);
    change_ = Change{to, ""};
    return talk + said(when_done);
}

Result<Talk> SurveyWalk::make_change() {
    if (!change_) return nothing_to_answer();
    const Change change = *change_;
    state_ = change.to;
    const auto kept =
        keep(EntryKind::state, state_words(state_), said("From now on: " + state_words(state_)));
    if (!kept) return kept;
    change_.reset();
    go_on_from(0);
    if (change.then_at.empty()) return kept;
    const auto gone = go(change.then_at);
    if (!gone) return gone;
    return *kept + *gone;
}

Result<Talk> SurveyWalk::leave_change() {
    if (!change_) return nothing_to_answer();
    change_.reset();
    return said("It stays as it was: " + state_words(state_));
}

Result<Talk> SurveyWalk::dock() {
    const auto& points = kept_.survey.points;
    const auto known = std::ranges::find(points, PointRole::dock_earth, &SurveyPoint::role);
    if (known != points.end()) return go(known->name);
    std::string name = "dock earth";
    while (point_named(kept_.survey, name) != nullptr) // a fitting may be called so
        name += " contact";
    if (const auto put = log_.put(SurveyPoint{name, PointRole::dock_earth, "", {}}); !put)
        return put.error();
    return go(name);
}

Result<Talk> SurveyWalk::add(const std::string& typed) {
    const auto point = typed_point(typed);
    if (!point) return point.error();
    if (point_named(kept_.survey, point->name) != nullptr)
        return wrong_usage(fmt::format("there is a point \"{}\" already", point->name));
    if (const auto put = log_.put(*point); !put) return put.error();
    return go(point->name);
}

Result<Talk> SurveyWalk::check_cell(const std::string& typed) {
    const auto apart_mv = parse_potential_mv(typed); // of which 1.5 mV is a usual one
    if (!apart_mv)
        return wrong_usage(fmt::format("\"{}\" is no voltage between two cells", typed),
                           "Type what stands between them in mV, for instance check 1.5");
    const auto found = compare_cells(*apart_mv);
    if (!found) return as_wrong_usage(found.error());
    const Instant now = written_now();
    const auto put =
        around_.archive.put_cell_check({kept_.row.cell_serial, now, "cell", found->difference_mv,
                                        std::string(name_of(found->finding)), around_.author, now});
    if (!put) return put.error();
    Talk talk;
    say(talk, SurveyStep::compare_cell);
    talk.push_back({fmt::format("{}: {}", name_of(found->finding), found->why)});
    return talk;
}

SurveyEntry SurveyWalk::blank(EntryKind kind) const {
    SurveyEntry entry;
    entry.at = written_now();
    entry.kind = kind;
    entry.state = state_;
    if (at_ && kind != EntryKind::finish && kind != EntryKind::state)
        entry.point = kept_.survey.points[*at_].name;
    return entry;
}

/// What somebody says of the present point.
Result<Talk> SurveyWalk::keep_beside(EntryKind kind, const std::string& text) {
    const std::string point = at_ ? kept_.survey.points[*at_].name : "all of the boat";
    return keep(kind, text, said(fmt::format("{}: {} kept", point, name_of(kind))));
}

Result<Talk> SurveyWalk::keep(EntryKind kind, std::string text, Talk talk) {
    SurveyEntry entry = blank(kind);
    entry.text = std::move(text);
    if (const auto put = log_.put(entry, {}); !put) return put.error();
    return talk;
}

} // namespace quaycell
