#include "series/packed_readings.h"

#include "wire/record.h"

#include <atomic>
#include <cmath>

namespace quaycell {

namespace {

using Codes = std::shared_ptr<const ReadableCodes>;
using Numbers = std::array<std::int32_t, column_piece>;

Column<double> unless_all_missing(Column<double> column) {
    for (std::size_t i = 0; i < column.size(); ++i)
        if (!std::isnan(column[i])) return column;
    return {};
}

/// A PackedReadings member that belongs to the packed readings.
std::shared_ptr<const PackedColumn> part(const Codes& codes, PackedColumn PackedReadings::*column) {
    return {codes->packed, &(codes->packed.get()->*column)};
}

/// What held at a row: the last entry that is not after it.
template <typename Entry>
std::size_t entry_at(const std::vector<Entry>& entries, std::size_t row) {
    const auto after = std::ranges::upper_bound(entries, row, {}, &Entry::row);
    return after == entries.begin() ? 0 : static_cast<std::size_t>(after - entries.begin()) - 1;
}

Column<double> potential_mv(const Codes& codes, CellInput cell,
                            PackedColumn PackedReadings::*column) {
    const auto fill = [codes, cell, column](std::size_t first, std::span<double> out) {
        const PackedReadings& packed = *codes->packed;
        Numbers numbers, boards;
        (packed.*column).read(first, std::span(numbers).first(out.size()));
        packed.board.read(first, std::span(boards).first(out.size()));
        const std::vector<ConverterFrom>& states = packed.converter;
        std::size_t state = entry_at(states, first);
        for (std::size_t i = 0; i < out.size(); ++state) {
            const std::size_t end = state + 1 < states.size()
                                        ? std::min(out.size(), states[state + 1].row - first)
                                        : out.size();
            const Conversion::Line line = codes->conversion.line(
                cell, states.empty() ? codes->conversion.state_then() : states[state].state);
            line.convert(std::span(numbers).subspan(i, end - i),
                         std::span(boards).subspan(i, end - i), out.subspan(i, end - i));
            i = end;
        }
    };
    return {(codes->packed.get()->*column).size(), fill};
}

/// By code, each computed once: a thermistor shows few. Whoever asks at the same time for the same
/// computes the same.
class Temperatures {
  public:
    explicit Temperatures(Codes codes) : codes_(std::move(codes)), known_(wire::missing_count + 1) {
        for (std::atomic<double>& each : known_)
            each.store(unknown, std::memory_order_relaxed);
    }

    double operator()(std::int32_t code) {
        std::atomic<double>& known = known_[static_cast<std::uint16_t>(code)];
        double found = known.load(std::memory_order_relaxed);
        if (found == unknown) {
            wire::Reading reading{};
            reading.water = static_cast<std::uint16_t>(code);
            found = codes_->conversion.temperature_c(reading);
            known.store(found, std::memory_order_relaxed);
        }
        return found;
    }

  private:
    static constexpr double unknown = -1000; // [degC]: colder than anything
    Codes codes_;
    std::vector<std::atomic<double>> known_;
};

} // namespace

ReadableCodes::ReadableCodes(std::shared_ptr<const PackedReadings> codes, const LoggerFacts& facts)
    : packed(std::move(codes)), circuit(facts.circuit), conversion(facts) {
    for (const LeadLook& look : packed->looks)
        if (look.a != wire::missing_byte)
            sources.push_back({look.row, quaycell::source_ohm(look.a, circuit)});
}

Column<double> cell_a_mv(const Codes& codes) {
    return potential_mv(codes, CellInput::a, &PackedReadings::cell_a);
}

Column<double> cell_b_mv(const Codes& codes) {
    return unless_all_missing(potential_mv(codes, CellInput::b, &PackedReadings::cell_b));
}

Column<double> ac_mv(const Codes& codes) {
    return unless_all_missing(
        {codes->packed->ac.size(), [codes](std::size_t first, std::span<double> out) {
             Numbers numbers;
             codes->packed->ac.read(first, std::span(numbers).first(out.size()));
             // By the source's resistance as it was found before the reading.
             const auto& looks = codes->sources;
             std::size_t next = static_cast<std::size_t>(
                 std::ranges::lower_bound(looks, first, {}, &SourceFound::row) - looks.begin());
             double ohm = next == 0 ? missing_value : looks[next - 1].ohm;
             for (std::size_t i = 0; i < out.size(); ++i) {
                 for (; next < looks.size() && looks[next].row < first + i; ++next)
                     ohm = looks[next].ohm;
                 if (numbers[i] == wire::missing_count) {
                     out[i] = missing_value;
                     continue;
                 }
                 wire::Reading reading{};
                 reading.ac_a = static_cast<std::uint16_t>(numbers[i]);
                 out[i] = codes->conversion.ac_mv(reading, ohm);
             }
         }});
}

Column<double> temperature_c(const Codes& codes) {
    const auto temperatures = std::make_shared<Temperatures>(codes);
    return unless_all_missing(unpacked<double, std::int32_t>(
        part(codes, &PackedReadings::water),
        [temperatures](std::int32_t code) { return (*temperatures)(code); }));
}

Column<double> battery_mv(const Codes& codes) {
    return unless_all_missing(unpacked<double, std::int32_t>(
        part(codes, &PackedReadings::battery), [codes](std::int32_t code) {
            return battery_mv(static_cast<std::uint16_t>(code), codes->circuit);
        }));
}

Column<double> source_ohm(const Codes& codes) {
    return unless_all_missing(
        {codes->packed->cell_a.size(), [codes](std::size_t first, std::span<double> out) {
             std::ranges::fill(out, missing_value);
             const auto& looks = codes->sources;
             for (auto look = std::ranges::lower_bound(looks, first, {}, &SourceFound::row);
                  look != looks.end() && look->row < first + out.size(); ++look)
                 out[look->row - first] = look->ohm;
         }});
}

} // namespace quaycell
