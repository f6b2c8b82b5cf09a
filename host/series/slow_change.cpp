#include "series/slow_change.h"

namespace quaycell {

namespace {

constexpr Milliseconds minute{60'000};

/// Between whole minutes along a straight line.
class ByMinute {
  public:
    explicit ByMinute(const Cycles& cycles) : cycles_(cycles) {}

    double at_mv(Instant time) {
        if (time < from_ || time >= from_ + minute) begin(time);
        return start_ + slope_ * static_cast<double>((time - from_).count());
    }

  private:
    void begin(Instant time) {
        const Instant from{time.time_since_epoch() / minute * minute};
        start_ = cycles_.at_mv(from);
        slope_ = (cycles_.at_mv(from + minute) - start_) / static_cast<double>(minute.count());
        from_ = from;
    }

    const Cycles& cycles_;
    Instant from_ = Instant::min();
    double start_ = 0;
    double slope_ = 0;
};

} // namespace

Column<double> without_cycles_of(const Column<Instant>& time, const Column<double>& value_mv,
                                 const Cycles& cycles) {
    if (cycles.found.empty()) return value_mv;
    return {value_mv.size(), [time, value_mv, cycles](std::size_t first, std::span<double> out) {
                value_mv.read(first, out);
                ByMinute slow(cycles);
                for (std::size_t i = 0; i < out.size(); ++i)
                    out[i] -= slow.at_mv(time[first + i]);
            }};
}

Column<double> without_decays(const Column<Instant>& time, const Column<double>& value_mv,
                              const std::vector<Settling>& decays) {
    if (decays.empty()) return value_mv;
    constexpr double over = 40; // time constants, after which nothing is left of a decay
    return {value_mv.size(), [time, value_mv, decays](std::size_t first, std::span<double> out) {
                value_mv.read(first, out);
                for (const Settling& decay : decays) {
                    const auto lasts = Milliseconds{
                        static_cast<std::int64_t>(over * decay.time_constant_h * 3'600'000)};
                    if (time[first] > decay.from + lasts) continue;
                    for (std::size_t i = 0; i < out.size(); ++i)
                        out[i] -= decay.at_mv(time[first + i]);
                }
            }};
}

} // namespace quaycell
