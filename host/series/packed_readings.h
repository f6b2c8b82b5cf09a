// The raw codes of any number of readings, and the columns that are made of them.
#pragma once

#include "series/conversion.h"
#include "series/lead_looks.h"
#include "series/packed_column.h"
#include "series/readings.h"

#include <array>

namespace quaycell {

/// From some row on the converter was so.
struct ConverterFrom {
    std::size_t row;
    ConverterState state;
};

/// The readings' raw codes.
struct PackedReadings {
    PackedColumn ticks_s;
    PackedColumn flags; ///< with those of its time above them
    PackedColumn sequence;
    PackedColumn cell_a{wire::missing_code};
    PackedColumn cell_b{wire::missing_code};
    PackedColumn ac{wire::missing_count};
    PackedColumn water{wire::missing_count};
    PackedColumn battery{wire::missing_count};
    PackedColumn board{wire::missing_code};
    std::vector<LeadLook> looks; ///< in order, as the rest
    std::vector<ConverterFrom> converter;
};

/// At some row a look found this resistance of cell A and its lead.
struct SourceFound {
    std::size_t row;
    double ohm; ///< missing_value where it cannot be told from an open lead
};

/// Codes and what is needed to read them.
struct ReadableCodes {
    ReadableCodes(std::shared_ptr<const PackedReadings> codes, const LoggerFacts& facts);

    std::shared_ptr<const PackedReadings> packed;
    wire::Circuit circuit;
    Conversion conversion;
    std::vector<SourceFound> sources; ///< in order
};

/// Columns of a trace, converted as they are read. An empty one where all would be missing.
Column<double> cell_a_mv(const std::shared_ptr<const ReadableCodes>& codes);
Column<double> cell_b_mv(const std::shared_ptr<const ReadableCodes>& codes);
Column<double> ac_mv(const std::shared_ptr<const ReadableCodes>& codes);
Column<double> temperature_c(const std::shared_ptr<const ReadableCodes>& codes);
Column<double> battery_mv(const std::shared_ptr<const ReadableCodes>& codes);
Column<double> source_ohm(const std::shared_ptr<const ReadableCodes>& codes);

/// Numbers that were packed, as the values of a column.
template <typename Value, typename Number = std::int64_t, typename Convert>
Column<Value> unpacked(std::shared_ptr<const PackedColumn> numbers, Convert convert) {
    const std::size_t size = numbers->size();
    return {size, [numbers = std::move(numbers), convert](std::size_t first, std::span<Value> out) {
                std::array<Number, column_piece> piece;
                const std::span codes = std::span(piece).first(out.size());
                numbers->read(first, codes);
                for (std::size_t i = 0; i < out.size(); ++i)
                    out[i] = convert(codes[i]);
            }};
}

} // namespace quaycell
