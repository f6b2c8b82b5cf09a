#include "tears.h"

namespace quaycell::powerloss {

namespace {

using Kind = Tear::Kind;

constexpr std::uint64_t seeds = 12; ///< of each tear that is random

std::vector<SeededTear> with_seeds(std::vector<SeededTear> tears, std::vector<Kind> random) {
    for (const Kind kind : random)
        for (std::uint64_t seed = 0; seed < seeds; ++seed)
            tears.push_back({{kind}, seed});
    return tears;
}

std::vector<SeededTear> program_tears() {
    std::vector<SeededTear> tears{{{Kind::before}, 0}};
    for (std::uint16_t bytes = 1; bytes <= wire::record_size; ++bytes)
        tears.push_back({{Kind::byte, bytes}, 0});
    return with_seeds(std::move(tears), {Kind::bits, Kind::unstable, Kind::last_bit});
}

// Whole and half headers, a page, half the sector, all but a slot, all of it.
std::vector<SeededTear> erase_tears() {
    std::vector<SeededTear> tears{{{Kind::before}, 0}};
    for (const std::uint16_t bytes :
         std::initializer_list<std::uint16_t>{1, 16, 32, 33, 256, 2048, 4064, 4095, 4096})
        tears.push_back({{Kind::front, bytes}, 0});
    for (const std::uint16_t bytes :
         std::initializer_list<std::uint16_t>{1, 32, 256, 2048, 4064, 4095})
        tears.push_back({{Kind::back, bytes}, 0});
    return with_seeds(std::move(tears), {Kind::bits, Kind::unstable, Kind::zeroed, Kind::weak});
}

} // namespace

const std::vector<SeededTear>& all_tears(bool erase) {
    static const std::vector<SeededTear> program = program_tears(), erased = erase_tears();
    return erase ? erased : program;
}

// Even seeds lose to blank, odd ones to noise.
const std::vector<SeededTear>& tears_with_loss(bool erase) {
    static const std::vector<SeededTear> program{{{Kind::before}, 0},
                                                 {{Kind::before}, 1},
                                                 {{Kind::byte, 16}, 0},
                                                 {{Kind::byte, wire::record_size}, 1}};
    static const std::vector<SeededTear> erased{
        {{Kind::before}, 0}, {{Kind::before}, 1}, {{Kind::front, 2048}, 0}, {{Kind::weak}, 1}};
    return erase ? erased : program;
}

const std::vector<Tear>& second_tears(bool erase) {
    static const std::vector<Tear> program{{Kind::before},
                                           {Kind::byte, 1},
                                           {Kind::byte, 16},
                                           {Kind::byte, wire::record_size - 1},
                                           {Kind::byte, wire::record_size},
                                           {Kind::bits},
                                           {Kind::unstable},
                                           {Kind::last_bit}};
    static const std::vector<Tear> erased{{Kind::before}, {Kind::front, 2048}, {Kind::back, 2048},
                                          {Kind::bits},   {Kind::unstable},    {Kind::weak}};
    return erase ? erased : program;
}

} // namespace quaycell::powerloss
