// Reading a TOML table key by key, so that a key nobody asked for can be complained about.
#pragma once

#include "base/result.h"
#include "electrode/water.h"

#include <optional>
#include <set>
#include <string>
#include <string_view>

// The library is used header-only, so that the program needs no shared library of it.
#define TOML_HEADER_ONLY 1
#include <toml++/toml.h>

namespace quaycell {

/// Collects the first complaint about one table. Values are taken by key; finish() complains about
/// the keys that nobody took.
class TableReader {
  public:
    /// `title` is how the table is called in complaints, "[water]" for instance; empty for
    /// the whole file.
    TableReader(const toml::table& table, std::string title, std::string_view where);

    std::optional<std::string> text(std::string_view key);
    std::optional<double> number(std::string_view key, double low, double high);
    /// A number or a list [low, high].
    std::optional<Range> range(std::string_view key, double low, double high);
    /// A TOML date such as 2026-05-01, given back as text.
    std::optional<std::string> date(std::string_view key);
    const toml::table* table(std::string_view key);
    const toml::array* list_of_tables(std::string_view key);

    /// Complains about `key` at its line, for a check that only the caller can make.
    void complain(std::string_view key, std::string what, std::string remedy);
    /// The key has to be there.
    void require(std::string_view key);

    /// The first complaint, unknown keys included.
    std::optional<Error> finish();

  private:
    const toml::node* take(std::string_view key);
    std::string place(const toml::node* node) const;

    const toml::table& table_;
    std::string title_;
    std::string where_;
    std::set<std::string, std::less<>> known_;
    std::optional<Error> complaint_;
};

} // namespace quaycell
