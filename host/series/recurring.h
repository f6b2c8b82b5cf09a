// Columns that show few values, again and again.
#pragma once

#include "series/column.h"

namespace quaycell {

/// The median of the values that are there, as statistics_of() tells it of readings that count
/// alike; the values are counted where they are few. missing_value where there is none.
double median_of_recurring(const Column<double>& values);

} // namespace quaycell
