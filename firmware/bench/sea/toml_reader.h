// A TOML table whose every key must be known, with complaints that name the line.
#pragma once

#include "bench/findings.h"
#include "bench/mcu/firmware.h"

#include <toml++/toml.h>

#include <concepts>
#include <set>
#include <string>

namespace quaycell::bench {

class TomlReader {
  public:
    /// `name` is how complaints call the table; `table` outlives the reader.
    TomlReader(const toml::table& table, std::string file, std::string name)
        : table_(table), file_(std::move(file)), name_(std::move(name)) {}

    const toml::node* find(const std::string& key) {
        known_.insert(key);
        return table_.get(key);
    }

    const toml::node& need(const std::string& key) {
        const toml::node* const node = find(key);
        if (node == nullptr) fail(table_, "\"" + key + "\" is missing in " + name_, "Add it");
        return *node;
    }

    template <typename Value>
    Value value(const toml::node& node, const std::string& key, const char* expected) const {
        const auto found = node.value<Value>();
        if (!found) fail(node, "\"" + key + "\" is not " + expected, "Correct the value");
        return *found;
    }

    double number(const std::string& key) { return value<double>(need(key), key, "a number"); }
    double number(const std::string& key, double otherwise) {
        const toml::node* const node = find(key);
        return node == nullptr ? otherwise : value<double>(*node, key, "a number");
    }

    template <std::unsigned_integral Value>
    Value whole(const std::string& key, Value otherwise) {
        const toml::node* const node = find(key);
        return node == nullptr ? otherwise
                               : value<Value>(*node, key, "a whole number of that size");
    }

    bool flag(const std::string& key, bool otherwise) {
        const toml::node* const node = find(key);
        return node == nullptr ? otherwise : value<bool>(*node, key, "true or false");
    }

    std::string text(const std::string& key) {
        return value<std::string>(need(key), key, "a text in quotes");
    }

    Time duration(const std::string& key);

    /// To be called when all keys have been asked for.
    void refuse_unknown() const;

    [[noreturn]] void fail(const toml::node& at, const std::string& what,
                           const std::string& remedy) const;

    const toml::table& table() const { return table_; }
    const std::string& file() const { return file_; }

  private:
    const toml::table& table_;
    std::string file_, name_;
    std::set<std::string> known_;
};

} // namespace quaycell::bench
