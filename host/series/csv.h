// RFC 4180: records of fields, with the place of each for the complaints.
#pragma once

#include "base/result.h"

#include <cstddef>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

namespace quaycell {

/// A field with its quotes taken off. Line and column count from 1; the column counts bytes.
struct CsvField {
    std::string_view text; ///< until the next record is read
    std::size_t line = 0;
    std::size_t column = 0;
};

/// Pulls one record after another out of a text. Lines may end in CRLF or LF; empty lines and a
/// byte order mark at the beginning are passed over.
class CsvReader {
  public:
    explicit CsvReader(std::string_view text);

    /// Fills `fields` with the next record; false at the end of the text. A quote out of place or
    /// one that is never closed is an error whose `where` is "LINE:COLUMN".
    Result<bool> next(std::vector<CsvField>& fields);

  private:
    Result<Done> read_field(CsvField& field);
    Result<Done> read_quoted(CsvField& field);
    std::string_view with_single_quotes(std::string_view text);
    bool at_line_end() const;
    void end_line();

    std::string_view text_;
    std::deque<std::string> unquoted_; ///< fields of this record that hold quotes
    std::size_t at_ = 0;
    std::size_t line_ = 1;
    std::size_t line_start_ = 0;
};

} // namespace quaycell
