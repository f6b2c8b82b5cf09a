// The text of cell-potential.csv, built in so that the bench runs from anywhere.
#pragma once

namespace quaycell::bench {

extern const char* const cell_table_csv;

} // namespace quaycell::bench
