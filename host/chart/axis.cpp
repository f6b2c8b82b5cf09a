#include "chart/axis.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

std::string number_text(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", std::abs(value), decimals);
    const bool is_zero = text.find_first_not_of("0.") == std::string::npos;
    return value < 0 && !is_zero ? "\u2212" + text : text;
}

namespace {

/// The least of 1, 2 or 5 times a power of ten that is not below `least`.
double round_step(double least) {
    const double power = std::pow(10, std::floor(std::log10(least)));
    for (const double factor : {1.0, 2.0, 5.0})
        if (factor * power >= least) return factor * power;
    return 10 * power;
}

std::vector<ValueTick> multiples(double low, double high, double step) {
    std::vector<ValueTick> ticks;
    const int decimals = std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9)));
    const auto first = static_cast<long long>(std::ceil(low / step - 1e-9));
    const auto last = static_cast<long long>(std::floor(high / step + 1e-9));
    for (long long i = first; i <= last; ++i) {
        const double value = static_cast<double>(i) * step;
        ticks.push_back({value, number_text(value, decimals)});
    }
    return ticks;
}

constexpr std::size_t least_ticks = 2; ///< one value alone tells no scale

} // namespace

std::vector<ValueTick> value_ticks(double low, double high, double length_mm, double spacing_mm) {
    if (!(low < high) || !std::isfinite(high - low)) return {};
    double least = (high - low) * spacing_mm / length_mm;
    std::vector<ValueTick> ticks = multiples(low, high, round_step(least));
    for (; ticks.size() < least_ticks; least /= 2)
        ticks = multiples(low, high, round_step(least / 2));
    return ticks;
}

namespace {

using std::chrono::days;
using std::chrono::seconds;
using std::chrono::sys_days;
using std::chrono::year_month_day;

enum class Unit { second, month };
enum class Label { second, minute, day, month, year };

/// Steps from fine to coarse. Days are counted from 1970-01-01, months from January.
struct Step {
    Unit unit;
    int major;
    int minor;
    Label label;
};
constexpr int minute = 60;
constexpr int hour = 60 * minute;
constexpr int day = 24 * hour;
constexpr std::array<Step, 25> steps{{
    {Unit::second, 1, 1, Label::second},
    {Unit::second, 5, 1, Label::second},
    {Unit::second, 10, 2, Label::second},
    {Unit::second, 30, 10, Label::second},
    {Unit::second, 1 * minute, 10, Label::minute},
    {Unit::second, 2 * minute, 30, Label::minute},
    {Unit::second, 5 * minute, 1 * minute, Label::minute},
    {Unit::second, 10 * minute, 2 * minute, Label::minute},
    {Unit::second, 30 * minute, 10 * minute, Label::minute},
    {Unit::second, 1 * hour, 15 * minute, Label::minute},
    {Unit::second, 2 * hour, 30 * minute, Label::minute},
    {Unit::second, 3 * hour, 1 * hour, Label::minute},
    {Unit::second, 6 * hour, 1 * hour, Label::minute},
    {Unit::second, 12 * hour, 3 * hour, Label::minute},
    {Unit::second, 1 * day, 6 * hour, Label::day},
    {Unit::second, 2 * day, 12 * hour, Label::day},
    {Unit::second, 7 * day, 1 * day, Label::day},
    {Unit::second, 14 * day, 7 * day, Label::day},
    {Unit::month, 1, 1, Label::month},
    {Unit::month, 3, 1, Label::month},
    {Unit::month, 12, 3, Label::year},
    {Unit::month, 24, 12, Label::year},
    {Unit::month, 60, 12, Label::year},
    {Unit::month, 120, 60, Label::year},
    {Unit::month, 600, 120, Label::year},
}};
constexpr int month_s = 30 * day; // for choosing a step only

constexpr std::array<const char*, 12> month_names{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                  "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

year_month_day date_of(Instant time) {
    return year_month_day{std::chrono::floor<days>(time)};
}

std::string month_name(year_month_day date) {
    return month_names[static_cast<unsigned>(date.month()) - 1];
}

/// `time`: what a clock on the wall shows, taken for UTC.
std::string label_of(Instant time, Label label) {
    const year_month_day date = date_of(time);
    const std::string text = to_text(time); // 2026-05-04T06:00:00Z
    switch (label) {
    case Label::second:
        return text.substr(11, 8);
    case Label::minute:
        return text.substr(11, 5);
    case Label::day:
        return fmt::format("{} {}", static_cast<unsigned>(date.day()), month_name(date));
    case Label::month:
        return month_name(date);
    case Label::year:
        break;
    }
    return fmt::format("{:04}", static_cast<int>(date.year()));
}

std::string context_of(Instant time, Label label) {
    switch (label) {
    case Label::second:
    case Label::minute:
        return to_text(time).substr(0, 10);
    case Label::day:
    case Label::month:
        return label_of(time, Label::year);
    case Label::year:
        break;
    }
    return "";
}

/// The multiples of a step that the clocks of a place show from `from` to before `to`, between two
/// changes of its clocks.
void add_multiples(std::vector<Instant>& found, Instant from, Instant to, Milliseconds step,
                   Milliseconds ahead) {
    const auto since = from.time_since_epoch() + ahead;
    auto whole = since / step * step;
    if (whole < since) whole += step;
    for (Instant time{whole - ahead}; time < to; time += step)
        found.push_back(time);
}

/// Counted by the clocks, so that an hour that comes twice has its ticks twice.
std::vector<Instant> instants_by_clock(Instant from, Instant to, Milliseconds step,
                                       const Zone& zone) {
    std::vector<Instant> found;
    Instant begin = from;
    for (const ZoneStretch& next : zone.changes(from, to)) {
        add_multiples(found, begin, next.from, step, zone.at(begin).ahead);
        begin = next.from;
    }
    add_multiples(found, begin, to + Milliseconds{1}, step, zone.at(begin).ahead);
    return found;
}

std::vector<Instant> beginnings_of_days(Instant from, Instant to, int count, const Zone& zone) {
    std::vector<Instant> found;
    const auto first = std::chrono::floor<days>(zone.local(from)).time_since_epoch().count();
    const auto last = std::chrono::floor<days>(zone.local(to)).time_since_epoch().count();
    for (auto each = first - first % count; each <= last; each += count) {
        const Instant time = zone.instant(LocalTime{days{each}});
        if (time >= from && time <= to) found.push_back(time);
    }
    return found;
}

/// Counted from the year 0.
int month_of(LocalTime time) {
    const year_month_day date = date_of(Instant{time.time_since_epoch()});
    return static_cast<int>(date.year()) * 12 + static_cast<int>(unsigned{date.month()}) - 1;
}

std::vector<Instant> beginnings_of_months(Instant from, Instant to, int count, const Zone& zone) {
    std::vector<Instant> found;
    const int first = month_of(zone.local(from)), last = month_of(zone.local(to));
    for (int month = first - first % count; month <= last; month += count) {
        const year_month_day date{std::chrono::year{month / 12},
                                  std::chrono::month{static_cast<unsigned>(month % 12) + 1},
                                  std::chrono::day{1}};
        const Instant time = zone.instant(LocalTime{sys_days{date}.time_since_epoch()});
        if (time >= from && time <= to) found.push_back(time);
    }
    return found;
}

std::vector<Instant> instants(Instant from, Instant to, Unit unit, int count, const Zone& zone) {
    if (unit == Unit::month) return beginnings_of_months(from, to, count, zone);
    if (count < day) return instants_by_clock(from, to, seconds{count}, zone);
    return beginnings_of_days(from, to, count / day, zone);
}

/// Which step is the finest whose labels have room; the coarsest when none has.
std::size_t step_for(double seconds_per_mm, double size_mm, const TextWidth& text_width) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const Step& step = steps[i];
        // The widest label of each kind, by the digits that are widest in most fonts.
        const Instant wide = sys_days{std::chrono::year{2088} / 8 / 28};
        const double room = text_width(label_of(wide, step.label), size_mm, false) + size_mm;
        const double length_s =
            static_cast<double>(step.major) * (step.unit == Unit::month ? month_s : 1);
        if (length_s / seconds_per_mm >= room) return i;
    }
    return steps.size() - 1;
}

/// Labels that would touch the one before are left out.
TimeTicks ticks_of(const Step& step, Instant from, Instant to, const Zone& zone,
                   double seconds_per_mm, double size_mm, const TextWidth& text_width) {
    const auto has_room = [&](Instant before, Instant time, const std::string& text) {
        return text_width(text, size_mm, false) + size_mm <=
               seconds_between(before, time) / seconds_per_mm;
    };
    TimeTicks ticks;
    ticks.minor = instants(from, to, step.unit, step.minor, zone);
    std::size_t last_context = 0;
    Instant last_labelled = from;
    for (const Instant time : instants(from, to, step.unit, step.major, zone)) {
        const Instant shown{zone.local(time).time_since_epoch()};
        TimeTick tick{time, label_of(shown, step.label), context_of(shown, step.label)};
        if (!ticks.major.empty()) {
            TimeTick& before = ticks.major[last_context];
            const Instant shown_before{zone.local(before.time).time_since_epoch()};
            if (tick.context == context_of(shown_before, step.label)) {
                tick.context.clear();
            } else {
                // Where two dates would touch, the later stands at the change and says more.
                if (!has_room(before.time, time, tick.context)) before.context.clear();
                last_context = ticks.major.size();
            }
            // An hour that is left out in spring brings its neighbours closer.
            if (!has_room(last_labelled, time, tick.label)) tick.label.clear();
        }
        if (!tick.label.empty()) last_labelled = time;
        ticks.major.push_back(std::move(tick));
    }
    return ticks;
}

bool tells_a_scale(const TimeTicks& ticks) {
    const auto labelled = std::ranges::count_if(
        ticks.major, [](const TimeTick& tick) { return !tick.label.empty(); });
    return static_cast<std::size_t>(labelled) >= least_ticks;
}

} // namespace

TimeTicks time_ticks(Instant from, Instant to, const Zone& zone, double length_mm, double size_mm,
                     const TextWidth& text_width) {
    const double seconds_per_mm = seconds_between(from, to) / length_mm;
    std::size_t at = step_for(seconds_per_mm, size_mm, text_width);
    while (true) {
        TimeTicks ticks = ticks_of(steps[at], from, to, zone, seconds_per_mm, size_mm, text_width);
        if (at == 0 || tells_a_scale(ticks)) return ticks;
        --at;
    }
}

std::string time_title(Instant from, Instant to, const Zone& zone) {
    if (zone.name() == "UTC") return "Time, UTC";
    std::string title = fmt::format("Time in {}: {}", zone.name(), to_words(zone.at(from)));
    const std::vector<ZoneStretch> changes = zone.changes(from, to);
    if (changes.size() == 1)
        return fmt::format("{}; from {} {}", title, to_words(changes[0].from, zone).substr(0, 16),
                           to_words(changes[0]));
    std::vector<std::string> told{to_words(zone.at(from))};
    for (const ZoneStretch& each : changes) {
        if (std::ranges::find(told, to_words(each)) != told.end()) continue;
        told.push_back(to_words(each));
        title += "; " + told.back();
    }
    return title;
}

} // namespace quaycell
