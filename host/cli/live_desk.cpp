#include "cli/live_desk.h"

#include "cli/fitted.h"
#include "cli/interrupt.h"
#include "cli/live_format.h"
#include "diagnosis/survey_steps.h"
#include "judging/author.h"
#include "judging/judgement_text.h"

#include <iostream>
#include <utility>

namespace quaycell {

namespace {

/// A notice leaves the details to be seen again by then.
constexpr std::chrono::seconds notice_stays{30};
constexpr int look_every_ms = 100; // at the window's size, whether the notice is over, at the end

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = std::min(text.find('\n', from), text.size());
        lines.push_back(text.substr(from, end - from));
        from = end + 1;
    }
    return lines;
}

} // namespace

LiveDesk::LiveDesk(LiveNotes notes, ThreadBug& bug) : notes_(std::move(notes)) {
    take_notice(words_at(SurveyStep::begin), true);
    draw();
    key_thread_ = std::jthread([this, &bug](const std::stop_token& stop) {
        bug.guard([&] { watch_keys(stop); }, [](const std::string&) { note_interrupt(); });
    });
}

LiveDesk::~LiveDesk() {
    key_thread_.request_stop();
    key_thread_.join();
    terminal_.reset();
    if (last_view_)
        std::cout << fitted_output(live_text(LiveFormat::words, *last_view_, false)) << std::flush;
    std::cerr << fitted_words(grounds_);
    if (last_view_)
        for (const std::string& caution : last_view_->cautions)
            std::cerr << fitted_words("CAUTION: " + caution + '\n');
    for (const std::string& words : said_)
        std::cerr << fitted_words(words + '\n');
    std::cerr << fitted_words(notes_.lost());
}

void LiveDesk::show(const LiveView& view, const Boat& boat) {
    const std::scoped_lock lock(mutex_);
    if (std::exchange(lost_, false)) message_.clear();
    view_ = view;
    last_view_ = view;
    const Judgement& judgement = view.shown.judgement;
    grounds_ = criteria_text(judgement, boat, {}) + footing_text(judgement, boat);
    draw();
}

void LiveDesk::say(const std::string& words) {
    const std::scoped_lock lock(mutex_);
    said_.push_back(words);
    message_ = words;
    draw();
}

/// Of the notes; 0 before the first reading.
std::uint32_t LiveDesk::device() const {
    return last_view_ ? last_view_->device_id : 0;
}

/// What was read before the loss must not look as if it were now.
void LiveDesk::lose(const std::string& why) {
    const std::scoped_lock lock(mutex_);
    view_.reset();
    lost_ = true;
    said_.push_back(why);
    message_ = why;
    draw();
}

std::optional<ShoreWord> LiveDesk::shore_word() {
    const std::scoped_lock lock(mutex_);
    return std::exchange(shore_word_, std::nullopt);
}

bool LiveDesk::is_there() const {
    const std::scoped_lock lock(mutex_);
    return terminal_->is_open();
}

void LiveDesk::watch_keys(const std::stop_token& stop) {
    ScreenSize size = terminal_->size();
    while (!stop.stop_requested()) {
        const std::string bytes = terminal_->keys(look_every_ms);
        const std::scoped_lock lock(mutex_);
        const ScreenSize now = terminal_->size();
        const bool notice_over = !notice_.empty() && !asked_ && Clock::now() >= notice_until_;
        if (bytes.empty() && now == size && !notice_over) continue;
        size = now;
        if (notice_over) take_notice({}, false);
        for (const LiveKey& key : keys_.take(bytes))
            act(key);
        draw();
    }
}

void LiveDesk::act(const LiveKey& key) {
    const bool was_alone = notice_alone_;
    auto left = was_alone ? notice_left(content(), terminal_->size()) : std::vector<std::string>{};
    take_notice(std::move(left), true);
    if (notice_alone_) return; // whatever the key was: the rest is to be read
    message_.clear();
    const auto asked = std::exchange(asked_, std::nullopt);
    switch (key.what) {
    case LiveKey::What::end:
        note_interrupt();
        message_ = "ending";
        return;
    case LiveKey::What::plugged:
        return plug(ShoreCord::plugged, asked == ShoreCord::plugged);
    case LiveKey::What::unplugged:
        return plug(ShoreCord::unplugged, asked == ShoreCord::unplugged);
    case LiveKey::What::why:
        if (!was_alone) // else it is how they are left
            take_notice(lines_of(grounds_.empty() ? "nothing has been judged yet" : grounds_),
                        true);
        return;
    case LiveKey::What::begin_note:
        note_begun_ = written_now();
        return;
    case LiveKey::What::note:
        message_ = notes_.keep(device(), note_begun_, key.text);
        return;
    case LiveKey::What::other:
        if (asked) message_ = "shore power stays as it was";
        return;
    }
}

/// How to do it comes first; the same key again says that it is done.
void LiveDesk::plug(ShoreCord cord, bool asked) {
    const bool in = cord == ShoreCord::plugged;
    if (!asked) {
        asked_ = cord;
        take_notice(words_at(in ? SurveyStep::plug_in : SurveyStep::unplug), false);
        return;
    }
    const Instant at = written_now();
    shore_word_ = ShoreWord{cord, at};
    message_ = notes_.keep(device(), at, in ? "shore power plugged in" : "shore power unplugged");
}

void LiveDesk::take_notice(std::vector<std::string> texts, bool alone) {
    notice_ = std::move(texts);
    notice_alone_ = alone && !notice_.empty();
    notice_until_ = Clock::now() + notice_stays;
}

ScreenContent LiveDesk::content() const {
    return {
        view_ ? &*view_ : nullptr, lost_, notice_, notice_alone_, message_, keys_.typed(), asked_,
        Terminal::block()};
}

void LiveDesk::draw() {
    terminal_->draw(live_screen(content(), terminal_->size()));
}

} // namespace quaycell
