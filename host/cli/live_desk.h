// Live readings of one logger on a terminal's screen, with keys for whoever stands there.
#pragma once

#include "cli/live_face.h"
#include "cli/live_keys.h"
#include "cli/live_notes.h"
#include "cli/terminal.h"
#include "cli/thread_bug.h"

#include <chrono>
#include <mutex>
#include <thread>

namespace quaycell {

class LiveDesk final : public LiveFace {
  public:
    /// `bug`: what reading the keys comes upon, which ends the watch as `q` does.
    LiveDesk(LiveNotes notes, ThreadBug& bug);

    /// Gives the terminal back, and leaves there the last reading, by what it was judged, what to
    /// beware of, and notes that are kept nowhere.
    ~LiveDesk() override;

    void show(const LiveView& view, const Boat& boat) override;
    void say(const std::string& words) override;
    void lose(const std::string& why) override;
    std::optional<ShoreWord> shore_word() override;
    bool is_there() const override;

  private:
    using Clock = std::chrono::steady_clock;

    void watch_keys(const std::stop_token& stop);
    void act(const LiveKey& key);
    void plug(ShoreCord cord, bool asked);
    void take_notice(std::vector<std::string> texts, bool alone);
    ScreenContent content() const;
    void draw();
    std::uint32_t device() const;

    mutable std::mutex mutex_;
    std::optional<Terminal> terminal_{std::in_place};
    LiveNotes notes_;
    LiveKeys keys_;
    std::optional<LiveView> view_;
    std::optional<LiveView> last_view_; ///< also when the logger is lost
    bool lost_ = false;                 ///< no reading since
    std::string grounds_;               ///< of the last view
    std::vector<std::string> notice_;
    bool notice_alone_ = false;
    Clock::time_point notice_until_{};
    std::string message_;
    std::vector<std::string> said_;  ///< to be told again in the end
    std::optional<ShoreCord> asked_; ///< how to make it so was told, and not yet that it is
    std::optional<ShoreWord> shore_word_;
    Instant note_begun_{};
    std::jthread key_thread_; // last: it uses all of the above
};

} // namespace quaycell
