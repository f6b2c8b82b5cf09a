#include "series/corrections.h"

#include "wire/record.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace quaycell {

namespace {

template <typename... Lambdas>
struct Overloaded : Lambdas... {
    using Lambdas::operator()...;
};
template <typename... Lambdas>
Overloaded(Lambdas...) -> Overloaded<Lambdas...>; // clang++ 14 does not deduce it

/// In the order of Change.
constexpr std::array<std::string_view, std::variant_size_v<Change>> kinds{
    "moved-times", "cell-scale", "salinity", "temperature", "swapped-leads", "left-out"};

/// Places in a trace: [first, end).
struct Rows {
    std::size_t first;
    std::size_t end;
};

Rows rows_of(const Stretch& stretch, const std::vector<std::uint32_t>& sequence) {
    const auto first = std::ranges::find_if(sequence, [&](std::uint32_t each) {
        return !stretch.first || !wire::sequence_before(each, *stretch.first);
    });
    const auto end = std::find_if(first, sequence.end(), [&](std::uint32_t each) {
        return stretch.last && wire::sequence_before(*stretch.last, each);
    });
    return {static_cast<std::size_t>(first - sequence.begin()),
            static_cast<std::size_t>(end - sequence.begin())};
}

Result<Done> check_order(const Trace& trace) {
    const auto at = std::ranges::adjacent_find(trace.time, std::ranges::greater_equal{});
    if (at == trace.time.end()) return Done{};
    return Error{ErrorCode::wrong_input,
                 fmt::format("as its times are moved, the reading at {} would come after the one "
                             "at {}, which was taken later",
                             to_text(*at), to_text(*std::next(at))),
                 trace.name,
                 "Move what lies behind by as much, or withdraw what was moved before; "
                 "--uncorrected reads the trace as it was recorded."};
}

class Corrector {
  public:
    explicit Corrector(Trace trace) : trace_(std::move(trace)), measured_at_(trace_.time) {}

    void apply(const Correction& correction) {
        const Rows rows = rows_of(correction.stretch, trace_.sequence);
        std::visit(
            Overloaded{
                [&](const MovedTimes& moved) { move(rows, correction.stretch, moved.by); },
                [&](const CellOn& cell) { trace_.cell_scale = cell.scale; },
                [&](const WaterOf& water) { put(rows, trace_.salinity_psu, water.salinity_psu); },
                [&](const WaterAt& water) { put(rows, trace_.temperature_c, water.temperature_c); },
                [&](const SwappedLeads&) { swap_leads(rows); },
                [&](const LeftOut&) { leave_out(rows, correction); },
            },
            correction.change);
        if (!std::holds_alternative<LeftOut>(correction.change)) mark(rows);
    }

    Result<Trace> finish() {
        if (const auto ordered = check_order(trace_); !ordered) return ordered.error();
        for (const LeftOutRows& left_out : left_out_)
            trace_.events.push_back(
                {trace_.time[left_out.rows.first], EventKind::gap, missing_value, left_out.why});
        for (auto* column :
             {&trace_.potential_mv, &trace_.cell_b_mv, &trace_.ac_mv, &trace_.temperature_c,
              &trace_.salinity_psu, &trace_.source_ohm, &trace_.battery_mv})
            keep(*column);
        keep(trace_.quality);
        keep(trace_.sequence);
        keep(trace_.time);
        std::ranges::stable_sort(trace_.events, {}, &Event::time);
        return std::move(trace_);
    }

  private:
    struct LeftOutRows {
        Rows rows;
        std::string why;
    };

    /// With the readings moves what happened among them.
    void move(const Rows& rows, const Stretch& stretch, Milliseconds by) {
        if (rows.first == rows.end) return;
        const auto is_among_them = [&](Instant measured_at) {
            const bool after_first = !stretch.first || measured_at >= measured_at_[rows.first];
            const bool before_next = rows.end == measured_at_.size()
                                         ? !stretch.last || measured_at <= measured_at_.back()
                                         : measured_at < measured_at_[rows.end];
            return after_first && before_next;
        };
        for (std::size_t row = rows.first; row < rows.end; ++row)
            trace_.time[row] += by;
        if (event_moves_.empty()) event_moves_.resize(trace_.events.size());
        for (std::size_t i = 0; i < trace_.events.size(); ++i) {
            if (!is_among_them(trace_.events[i].time - event_moves_[i])) continue;
            trace_.events[i].time += by;
            event_moves_[i] += by;
        }
        if (trace_.ended && is_among_them(trace_.ended->time - end_move_)) {
            trace_.ended->time += by;
            end_move_ += by;
        }
    }

    void put(const Rows& rows, std::vector<double>& column, double value) {
        if (column.empty()) column.resize(trace_.time.size(), missing_value);
        std::fill(column.begin() + static_cast<std::ptrdiff_t>(rows.first),
                  column.begin() + static_cast<std::ptrdiff_t>(rows.end), value);
    }

    void swap_leads(const Rows& rows) {
        for (std::size_t row = rows.first; row < rows.end; ++row) {
            trace_.potential_mv[row] = -trace_.potential_mv[row];
            if (!trace_.cell_b_mv.empty()) trace_.cell_b_mv[row] += trace_.potential_mv[row];
        }
    }

    void leave_out(const Rows& rows, const Correction& correction) {
        if (rows.first == rows.end) return;
        left_out_.push_back(
            {rows, fmt::format("left out: {} ({})", correction.why, correction.author)});
    }

    void mark(const Rows& rows) {
        if (trace_.quality.empty()) trace_.quality.resize(trace_.time.size(), Quality::good);
        for (std::size_t row = rows.first; row < rows.end; ++row)
            trace_.quality[row] |= Quality::corrected;
    }

    template <typename Value>
    void keep(std::vector<Value>& column) const {
        if (column.empty()) return;
        std::vector<Value> kept;
        for (std::size_t row = 0; row < column.size(); ++row) {
            const bool is_left_out = std::ranges::any_of(left_out_, [&](const LeftOutRows& out) {
                return row >= out.rows.first && row < out.rows.end;
            });
            if (!is_left_out) kept.push_back(column[row]);
        }
        column = std::move(kept);
    }

    Trace trace_;
    std::vector<Instant> measured_at_;
    std::vector<Milliseconds> event_moves_;
    Milliseconds end_move_{0};
    std::vector<LeftOutRows> left_out_;
};

Result<double> number_from(std::string_view text) {
    double value = 0;
    const auto [end, wrong] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (wrong != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return Error{ErrorCode::wrong_input, fmt::format("\"{}\" is not a number", text), "", ""};
    return value;
}

/// What a column of a trace CSV may hold, so that an export can be imported again.
Result<Done> check_range(double value, double low, double high, std::string_view what) {
    if (value >= low && value <= high) return Done{};
    return Error{ErrorCode::wrong_usage,
                 fmt::format("a {} of {} is not between {} and {}", what, value, low, high), "",
                 "Check the unit."};
}

} // namespace

std::string_view kind_of(const Change& change) {
    return kinds.at(change.index());
}

std::string value_of(const Change& change) {
    return std::visit(
        Overloaded{
            [](const MovedTimes& moved) { return fmt::format("{}", moved.by.count()); },
            [](const CellOn& cell) { return std::string(name_of(cell.scale)); },
            [](const WaterOf& water) { return fmt::format("{}", water.salinity_psu); },
            [](const WaterAt& water) { return fmt::format("{}", water.temperature_c); },
            [](const auto&) { return std::string(); },
        },
        change);
}

Result<Change> parse_change(std::string_view kind, std::string_view value) {
    if (kind == kind_of(SwappedLeads{})) return Change(SwappedLeads{});
    if (kind == kind_of(LeftOut{})) return Change(LeftOut{});
    if (kind == kind_of(CellOn{})) {
        const auto scale = scale_named(value);
        if (!scale) return scale.error();
        return Change(CellOn{*scale});
    }
    const auto number = number_from(value);
    if (!number) return number.error();
    if (kind == kind_of(MovedTimes{}))
        return Change(MovedTimes{Milliseconds{static_cast<std::int64_t>(*number)}});
    if (kind == kind_of(WaterOf{})) return Change(WaterOf{*number});
    if (kind == kind_of(WaterAt{})) return Change(WaterAt{*number});
    return Error{ErrorCode::wrong_input, fmt::format("no correction is called \"{}\"", kind), "",
                 ""};
}

Result<Done> check_change(const Change& change) {
    // A clock without battery begins in the year 2000 (DS3231); no other is wrong by so much.
    constexpr std::chrono::days longest_move{100 * 366};
    if (const auto* moved = std::get_if<MovedTimes>(&change)) {
        if (moved->by == Milliseconds{0} || std::chrono::abs(moved->by) > longest_move)
            return Error{ErrorCode::wrong_usage, "no clock is put right by moving times so far", "",
                         "Give what has to be added to the times, as +1h or -90s."};
    }
    if (const auto* water = std::get_if<WaterOf>(&change))
        return check_range(water->salinity_psu, 0, 400, "salinity");
    if (const auto* water = std::get_if<WaterAt>(&change))
        return check_range(water->temperature_c, -10, 60, "temperature");
    return Done{};
}

Result<Trace> corrected(Trace trace, std::span<const Correction> corrections) {
    Corrector corrector(std::move(trace));
    for (const Correction& correction : corrections)
        corrector.apply(correction);
    return corrector.finish();
}

} // namespace quaycell
