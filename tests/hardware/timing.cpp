// Prints as CSV when the real firmware, on the simulated board, does what in a reading that has all
// there is to measure: the first of a deployment, at one reading a minute, with two cells.
#define DOCTEST_CONFIG_IMPLEMENT
#include "bench/logger_client.h"
#include "board/circuit.h"

#include <fmt/format.h>

#include <functional>

using namespace quaycell::bench;
using namespace std::chrono_literals;

namespace {

constexpr Time step = 500us;
// Two pieces of one activity are no further apart.
constexpr Time longest_gap = 6ms;

struct Span {
    Time from, to;
};

double ms(Time time) {
    return std::chrono::duration<double, std::milli>(time).count();
}

void say(std::string_view what, Span span, Time zero) {
    fmt::print("{},{:.0f},{:.0f}\n", what, ms(span.from - zero), ms(span.to - zero));
}

/// Something that takes time, by a counter that grows while it lasts.
class Activity {
  public:
    explicit Activity(std::function<Time()> counter) : counter_(std::move(counter)) {}

    void look(Time now) {
        const Time count = counter_();
        if (count != count_) {
            const Time from = now - step;
            if (spans_.empty() || from - spans_.back().to > longest_gap)
                spans_.push_back({from, now});
            spans_.back().to = now;
        }
        count_ = count;
    }
    /// The first that begins then or later.
    Span since(Time time) const {
        for (const Span& span : spans_)
            if (span.from >= time) return span;
        FAIL("it never happened");
        return {};
    }

  private:
    std::function<Time()> counter_;
    Time count_ = counter_();
    std::vector<Span> spans_;
};

} // namespace

int main() {
    doctest::Context context;
    context.setAsDefaultForAssertsOutOfTestCases();
    const Scenario scenario = parse_scenario(
        "start = 2026-05-04T06:00:00Z\n[logger]\ndevice_id = 7\nclock_set = true\n"
        "cell_b_offset_mv = 1\n[potential_mv]\nbase = -900\n[temperature_c]\nbase = 15\n"
        "[salinity_psu]\nbase = 35\n",
        "berth.toml");
    Board board{read_firmware(QUAYCELL_LOGGER_ELF), scenario};
    board.run_for(6s);
    LoggerClient host{board};
    host.plug();
    host.arm(60);
    host.unplug();
    board.run_for(20s); // the checks of a new deployment are over

    const EnergyMeter& meter = board.energy();
    Activity conversions{[&] { return meter.use().converter; }};
    Activity ac{[&] { return meter.ac_burst().span; }};
    Activity stimulus{[&] { return meter.stimulus().span; }};
    Activity writing{[&] { return meter.use().flash.programming; }};
    const Time begin = board.now();
    while (board.now() < begin + 60s) {
        board.run_for(step);
        for (Activity* const activity : {&conversions, &ac, &stimulus, &writing})
            activity->look(board.now());
    }
    const Span dc = conversions.since(begin);
    const Time half = dc.from + (dc.to - dc.from) / 2;
    fmt::print("step,from_ms,to_ms\n");
    say("cell A: four conversions", {dc.from, half}, dc.from);
    say("cell B: four conversions", {half, dc.to}, dc.from);
    say("AC of cell A and of cell B", ac.since(dc.to), dc.from);
    const Span burst = stimulus.since(dc.to);
    say("stimulus of cell A and of cell B", burst, dc.from);
    say("record written", writing.since(burst.to - longest_gap), dc.from);
    const Time rest = std::chrono::seconds{quaycell::board::rest_ticks - 1};
    say("rest before the next DC", {burst.to, burst.to + rest}, dc.from);
}
