#include "bench/sea/toml_reader.h"

#include "bench/duration.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace quaycell::bench {

Time TomlReader::duration(const std::string& key) {
    const std::string written = text(key);
    const auto parsed = parse_duration(written);
    if (!parsed)
        fail(need(key), fmt::format("\"{}\" is not a length of time: \"{}\"", key, written),
             "Write for instance \"90s\", \"10min\", \"2d6h\"");
    return *parsed;
}

void TomlReader::refuse_unknown() const {
    for (const auto& [key, node] : table_)
        if (!known_.contains(std::string{key.str()}))
            fail(node, fmt::format("unknown key \"{}\" in {}", key.str(), name_),
                 fmt::format("Known keys: {}", fmt::join(known_, ", ")));
}

void TomlReader::fail(const toml::node& at, const std::string& what,
                      const std::string& remedy) const {
    throw WrongInput(fmt::format("{}:{}: {}. {}", file_, at.source().begin.line, what, remedy));
}

} // namespace quaycell::bench
