#include "power_cut.h"

#include <fmt/format.h>

#include <charconv>
#include <map>
#include <sstream>
#include <stdexcept>

namespace quaycell::powerloss {

namespace {

struct Name {
    Tear::Kind kind;
    std::string_view text;
    bool has_place;
};

constexpr std::array<Name, 9> names{{
    {Tear::Kind::before, "before", false},
    {Tear::Kind::byte, "byte", true},
    {Tear::Kind::bits, "bits", false},
    {Tear::Kind::unstable, "unstable", false},
    {Tear::Kind::last_bit, "last-bit", false},
    {Tear::Kind::front, "front", true},
    {Tear::Kind::back, "back", true},
    {Tear::Kind::zeroed, "zeroed", false},
    {Tear::Kind::weak, "weak", false},
}};

constexpr std::array<std::string_view, 4> worn_names{"never-erases", "stuck-bit", "never-programs",
                                                     "half-programs"};

std::string text_of(Tear tear) {
    const Name& name = names[static_cast<std::size_t>(tear.kind)];
    return name.has_place ? fmt::format("{}:{}", name.text, tear.bytes) : std::string(name.text);
}

template <typename Number>
Number number_in(std::string_view text) {
    Number number{};
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (error != std::errc{} || end != text.data() + text.size())
        throw std::invalid_argument(fmt::format("\"{}\" is no number", text));
    return number;
}

Tear tear_in(std::string_view text) {
    const std::size_t colon = text.find(':');
    const std::string_view kind = text.substr(0, colon);
    for (const Name& name : names) {
        if (name.text != kind || name.has_place != (colon != text.npos)) continue;
        return {name.kind, name.has_place ? number_in<std::uint16_t>(text.substr(colon + 1))
                                          : std::uint16_t{0}};
    }
    throw std::invalid_argument(fmt::format("\"{}\" is no tear", text));
}

Worn worn_in(std::string_view text) {
    for (const Worn& worn : all_worn())
        if (to_text(worn) == text) return worn;
    throw std::invalid_argument(fmt::format("\"{}\" is no worn sector", text));
}

} // namespace

std::vector<Worn> all_worn() {
    std::vector<Worn> all;
    for (std::uint8_t kind = 0; kind < worn_names.size(); ++kind)
        for (std::uint32_t sector = 0; sector < sectors; ++sector)
            all.push_back({static_cast<Worn::Kind>(kind), sector});
    return all;
}

std::string to_text(const Worn& worn) {
    return fmt::format("{}:{}", worn_names[static_cast<std::size_t>(worn.kind)], worn.sector);
}

std::string Case::to_text() const {
    std::string text = fmt::format("workload={}", workload);
    if (worn) text += " worn=" + powerloss::to_text(*worn);
    text += fmt::format(" cut={} tear={}", first.at, text_of(first.tear));
    if (lost) text += fmt::format(" lost={}", *lost);
    if (second) text += fmt::format(" second={} second-tear={}", second->at, text_of(second->tear));
    return text + fmt::format(" seed={}", seed);
}

Case parse_case(std::string_view text) {
    std::map<std::string, std::string> fields;
    std::istringstream words{std::string(text)};
    for (std::string word; words >> word;) {
        const std::size_t equals = word.find('=');
        if (equals == word.npos)
            throw std::invalid_argument(fmt::format("\"{}\" is no key=value", word));
        fields[word.substr(0, equals)] = word.substr(equals + 1);
    }
    const auto take = [&](const char* key) {
        const auto node = fields.extract(key);
        if (!node) throw std::invalid_argument(fmt::format("\"{}=\" is missing", key));
        return node.mapped();
    };
    Case found{take("workload"),
               {},
               {number_in<unsigned>(take("cut")), tear_in(take("tear"))},
               {},
               {},
               number_in<std::uint64_t>(take("seed"))};
    if (fields.contains("worn")) found.worn = worn_in(take("worn"));
    if (fields.contains("lost")) found.lost = number_in<std::uint32_t>(take("lost"));
    if (fields.contains("second"))
        found.second = {number_in<unsigned>(take("second")), tear_in(take("second-tear"))};
    if (!fields.empty())
        throw std::invalid_argument(fmt::format("unknown key \"{}\"", fields.begin()->first));
    return found;
}

} // namespace quaycell::powerloss
