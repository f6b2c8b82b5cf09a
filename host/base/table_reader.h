// Reading a TOML table key by key, so that a key nobody asked for can be complained about.
#pragma once

#include "base/range.h"
#include "base/result.h"
#include "base/time.h"

#include <limits>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <toml++/toml.h>

namespace quaycell {

/// What complaints about a file say of it.
struct TomlFile {
    std::string name;   ///< of the file
    std::string remedy; ///< where something is missing, or the text is no TOML; may be empty
};

/// The whole text as a table. Error (wrong_input): where and why it is no TOML.
Result<toml::table> parse_toml(std::string_view text, const TomlFile& file);

/// Collects the first complaint about one table. Values are taken by key; finish() complains about
/// the keys that nobody took. Table and file outlive the reader.
class TableReader {
  public:
    /// `title` is how the table is called in complaints, "[water]" for instance; empty for
    /// the whole file.
    TableReader(const toml::table& table, std::string title, const TomlFile& file);

    std::optional<std::string> text(std::string_view key);
    /// A text that has to be there, and to say something.
    std::string needed_text(std::string_view key);
    std::optional<bool> flag(std::string_view key);
    std::optional<double> number(std::string_view key,
                                 double low = -std::numeric_limits<double>::max(),
                                 double high = std::numeric_limits<double>::max());
    /// A number or a list [low, high].
    std::optional<Range> range(std::string_view key, double low, double high);
    /// A TOML date such as 2026-05-01, given back as text.
    std::optional<std::string> date(std::string_view key);
    /// A TOML date, or a time with its offset from UTC.
    std::optional<WhenDone> day_or_time(std::string_view key);
    const toml::table* table(std::string_view key);
    const toml::array* list_of_tables(std::string_view key);

    /// What `find` knows by the text of `key`; its refusal becomes the complaint.
    template <typename Value>
    std::optional<Value> named(std::string_view key, Result<Value> (*find)(std::string_view)) {
        const auto name = text(key);
        if (!name) return std::nullopt;
        const Result<Value> found = find(*name);
        if (found) return *found;
        complain(key, found.error().what, found.error().remedy);
        return std::nullopt;
    }

    /// Complains about `key` at its line, or at the table's where it is not there.
    void complain(std::string_view key, std::string what, std::string remedy);
    /// The key has to be there.
    void require(std::string_view key);

    /// The first complaint. A key that nobody knows comes before one that is missing: it is likely
    /// to be that one, misspelt.
    std::optional<Error> finish();

  private:
    const toml::node* take(std::string_view key);
    Error error(std::string_view key, std::string what, std::string remedy) const;

    const toml::table& table_;
    std::string title_;
    const TomlFile& file_;
    std::set<std::string, std::less<>> known_;
    std::optional<Error> complaint_;
    std::optional<Error> missing_;
};

} // namespace quaycell
