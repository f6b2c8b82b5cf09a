// A berth where everything is known, a logger in it, and what the host makes of its records.
#pragma once

#include "logger_client.h"

#include "series/decode.h"

#include <fmt/format.h>

#include <string>

namespace quaycell::bench {

struct Berth {
    double potential_mv = -900; ///< and what the cell reads, in sea water of S = 35
    double ac_mv = 0;
    double ac_hz = 50;
    double source_ohm = 2000;
    std::string logger = "device_id = 7\nclock_set = true"; ///< of the table [logger]
    std::string more{};                                     ///< other tables

    Scenario scenario(std::uint64_t seed) const {
        return parse_scenario(
            fmt::format("start = 2026-05-04T06:00:00Z\nseed = {}\nac_hz = {}\n[logger]\n{}\n"
                        "[potential_mv]\nbase = {}\n[ac_mv]\nbase = {}\n[source_ohm]\nbase = {}\n"
                        "[temperature_c]\nbase = 15\n[salinity_psu]\nbase = 35\n{}\n",
                        seed, ac_hz, logger, potential_mv, ac_mv, source_ohm, more),
            "berth.toml");
    }
};

class BerthedLogger {
  public:
    explicit BerthedLogger(const Berth& berth, std::uint64_t seed = 1)
        : board_(read_firmware(QUAYCELL_LOGGER_ELF), berth.scenario(seed)) {
        board_.run_for(std::chrono::seconds{6}); // until the input has settled
        host_.plug();
        ask_facts();
    }
    /// Nothing that real hardware would not have forgiven.
    ~BerthedLogger() { CHECK_MESSAGE(board_.findings().empty(), board_.findings().to_text()); }

    BerthedLogger(const BerthedLogger&) = delete;
    BerthedLogger& operator=(const BerthedLogger&) = delete;

    void ask_facts() {
        facts_.circuit =
            host_.ask(wire::MessageType::circuit, wire::CircuitRequest{0}).as<wire::Circuit>();
        facts_.calibration = host_.ask(wire::MessageType::calibration, wire::CalibrationRequest{0})
                                 .as<wire::Calibration>();
    }

    void record(std::uint16_t interval_s, Time length) {
        first_ = host_.arm(interval_s).tail_sequence;
        host_.unplug();
        board_.run_for(length);
    }

    /// What the host makes of what stands in the flash.
    Trace trace() const {
        const auto image = board_.flash().image();
        std::vector<RecordBytes> records;
        for (std::uint32_t sequence = first_;; ++sequence) {
            const auto* const slot =
                &image[std::size_t{sequence} * wire::record_size % image.size()];
            if (!wire::is_valid_record(slot)) break;
            std::copy_n(slot, wire::record_size, records.emplace_back().begin());
        }
        auto decoded = decode(records, facts_);
        REQUIRE(decoded);
        return std::move(*decoded);
    }

    Board& board() { return board_; }
    LoggerClient& host() { return host_; }
    const LoggerFacts& facts() const { return facts_; }

  private:
    Board board_;
    LoggerClient host_{board_};
    LoggerFacts facts_;
    std::uint32_t first_ = 0;
};

} // namespace quaycell::bench
