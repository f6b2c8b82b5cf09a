// One conversion from its start to its end or its giving up, without waiting for it.
//
// Converter: bool begin(), bool start(Input), Conversion result(int16_t& code)
#pragma once

#include "logger/converter.h"

namespace quaycell {
namespace logger {

template <typename Converter>
class ConversionRun {
  public:
    explicit constexpr ConversionRun(Converter& converter) : converter_(converter) {}

    /// Whether it is there and takes its settings. Does not disturb a conversion.
    bool begin() {
        set_up_ = converter_.begin();
        return set_up_;
    }

    bool running() const { return running_; }

    void start(Input input, uint32_t now) {
        input_ = input;
        started_ = now;
        if (!set_up_) begin();
        started_well_ = converter_.start(input);
        running_ = true;
    }

    Input input() const { return input_; }

    /// ask: the converter's ready pin moved, or somebody waits. Without, the converter is asked
    /// only when it has long been due: no alarm is set for that, the watchdog's wake-ups are
    /// enough. It is given up only then, because one that is started anew in the middle does not
    /// listen.
    Conversion poll(bool ask, uint32_t now, int16_t& code) {
        const bool late = now - started_ >= (silent_ ? silent_patience_s : patience_s);
        if (started_well_ && !ask && !late) return Conversion::running;
        const Conversion state = started_well_ ? converter_.result(code) : Conversion::failed;
        if (state == Conversion::running && !late) return state;
        running_ = false;
        // It may have been reset, or its pin would have moved: set it up again for the next one.
        if (late || state != Conversion::done) set_up_ = false;
        silent_ = state == Conversion::running;
        return state == Conversion::done ? state : Conversion::failed;
    }

    /// The last one began as it should and did not end.
    bool silent() const { return silent_; }

  private:
    /// A conversion takes 0.15 s at most; ticks tell whole seconds, so the second after the next.
    static constexpr uint8_t patience_s = 2;
    /// Of one that did not end the last: at one reading a second, too, the next shall not miss its
    /// turn for it.
    static constexpr uint8_t silent_patience_s = 1;

    Converter& converter_;
    uint32_t started_ = 0;
    Input input_ = Input::cell_a;
    bool set_up_ = false;
    bool started_well_ = false;
    bool running_ = false;
    bool silent_ = false;
};

} // namespace logger
} // namespace quaycell
