#include "cli/nmea_sentences.h"

#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace quaycell {

namespace {

constexpr std::string_view head = "IIXDR"; ///< talker: integrated instrumentation
constexpr std::size_t frame_size = 6;      ///< "$", "*hh", CR and LF

int code_of(Verdict verdict) {
    switch (verdict) {
    case Verdict::no_verdict:
        return 0;
    case Verdict::protected_:
        return 1;
    case Verdict::under_protected:
        return 2;
    case Verdict::over_protected:
        return 3;
    case Verdict::undecided:
        return 4;
    }
    return 0;
}

int code_of(LeadState state) {
    switch (state) {
    case LeadState::unknown:
        return 0;
    case LeadState::good:
        return 1;
    case LeadState::drying:
        return 2;
    case LeadState::not_good:
        return 3;
    }
    return 0;
}

class Transducers {
  public:
    void add_volts(double mv, std::string_view id) {
        if (!std::isnan(mv)) all_.push_back({'U', fmt::format("{:.4f}", mv / 1000), "V", id});
    }
    void add_celsius(double celsius, std::string_view id) {
        if (!std::isnan(celsius)) all_.push_back({'C', fmt::format("{:.1f}", celsius), "C", id});
    }
    void add_code(int code, std::string_view id) {
        all_.push_back({'G', std::to_string(code), "", id});
    }
    const std::vector<Transducer>& all() const { return all_; }

  private:
    std::vector<Transducer> all_;
};

} // namespace

std::string nmea_checksum(std::string_view between) {
    unsigned sum = 0;
    for (const char c : between)
        sum ^= static_cast<unsigned char>(c);
    return fmt::format("{:02X}", sum);
}

std::vector<std::string> xdr_sentences(std::span<const Transducer> transducers) {
    std::vector<std::string> sentences;
    std::string between;
    const auto end_sentence = [&] {
        if (!between.empty())
            sentences.push_back(fmt::format("${}*{}\r\n", between, nmea_checksum(between)));
        between.clear();
    };
    for (const Transducer& each : transducers) {
        const std::string quadruplet =
            fmt::format(",{},{},{},{}", each.type, each.value, each.unit, each.id);
        if (between.size() + quadruplet.size() + frame_size > longest_sentence) end_sentence();
        if (between.empty()) between = head;
        between += quadruplet;
    }
    end_sentence();
    return sentences;
}

std::vector<std::string> nmea_sentences(const LiveView& view) {
    const LiveLine& line = view.shown;
    Transducers hull, others;
    if (view.shows_metal) {
        hull.add_volts(line.standard_mv, "HULL");
        others.add_volts(line.expanded_uncertainty_mv, "HULLU");
        others.add_volts(line.potential_mv, "CELLA");
        others.add_volts(view.latest.cell_b_mv, "CELLB");
        others.add_volts(view.cell.drift_mv, "DRIFT");
    }
    others.add_volts(view.ac.last_mv, "HULLAC");
    others.add_celsius(view.latest.temperature_c, "WATER");
    others.add_volts(view.latest.battery_mv, "BATTERY");
    others.add_code(code_of(line.judgement.verdict), "VERDICT");
    others.add_code(view.reading.settled ? 1 : 0, "READSET");
    others.add_code(view.cell.settled ? 1 : 0, "CELLSET");
    others.add_code(code_of(view.latest.lead), "LEAD");
    others.add_code(view.ac.is_danger() ? 1 : 0, "ACHIGH");
    std::vector<std::string> sentences = xdr_sentences(hull.all());
    const std::vector<std::string> more = xdr_sentences(others.all());
    sentences.insert(sentences.end(), more.begin(), more.end());
    return sentences;
}

} // namespace quaycell
