#include "calibration/sampling.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace quaycell {

namespace {

/// The looks at both leads and the rest after them take 10 s, and one more look may fall between;
/// beyond that the input never settles.
constexpr std::uint32_t readings_to_spare = 25;

double mean_of(const std::vector<double>& values) {
    if (values.empty()) return missing_value;
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

double deviation_of(const std::vector<double>& values, double mean) {
    double sum = 0;
    for (const double value : values)
        sum += (value - mean) * (value - mean);
    return std::sqrt(sum / static_cast<double>(values.size() - 1));
}

std::uint16_t rms_of(const std::vector<double>& codes) {
    if (codes.empty()) return wire::missing_count;
    double sum = 0;
    for (const double code : codes)
        sum += code * code;
    return static_cast<std::uint16_t>(
        std::lround(std::sqrt(sum / static_cast<double>(codes.size()))));
}

Error no_sample(std::string what, std::string remedy) {
    return {ErrorCode::refused, std::move(what), "", std::move(remedy)};
}

} // namespace

bool Sampling::usable(const wire::Reading& reading) const {
    const std::uint16_t saturated =
        cell_ == CellInput::a ? wire::flag_saturated_a : wire::flag_saturated_b;
    const std::uint16_t useless =
        static_cast<std::uint16_t>(wire::flag_unsettled | wire::flag_converter_fault | saturated);
    return reading.head.ticks_s - first_tick_s_ >= settle_s_ && (reading.flags & useless) == 0 &&
           !cell_missing_;
}

bool Sampling::take(const wire::LiveReading& live) {
    const wire::Reading& reading = live.reading;
    const bool is_a = cell_ == CellInput::a;
    const std::int16_t code = is_a ? reading.cell_a : reading.cell_b;
    const std::int16_t other = is_a ? reading.cell_b : reading.cell_a;
    const std::uint8_t response = is_a ? reading.source_a : reading.source_b;
    const std::uint8_t other_response = is_a ? reading.source_b : reading.source_a;
    const std::uint16_t ac = is_a ? reading.ac_a : reading.ac_b;
    if (seen_++ == 0) {
        // It may have been on its way since before the source was joined.
        first_tick_s_ = reading.head.ticks_s;
        return true;
    }
    last_flags_ = reading.flags;
    cell_missing_ = code == wire::missing_code;
    if (response != wire::missing_byte) response_ = response;
    if (other_response != wire::missing_byte) other_response_ = other_response;
    if (ac != wire::missing_count) ac_codes_.push_back(ac);
    if (!cell_missing_) bits_.take(code);
    if (usable(reading)) {
        codes_.push_back(code);
        if (other != wire::missing_code) other_codes_.push_back(other);
        if (!std::isnan(board_c(reading.board))) boards_c_.push_back(board_c(reading.board));
        if (live.zero != wire::missing_code && live.reference != wire::missing_code) {
            zeros_.push_back(live.zero);
            references_.push_back(live.reference);
            bits_.take(live.zero);
            bits_.take(live.reference);
        }
    }
    const bool enough = wanted_ == SampleOf::response ? response_ != wire::missing_byte
                                                      : codes_.size() >= readings_of_a_mean;
    return !enough && seen_ < settle_s_ + readings_of_a_mean + readings_to_spare;
}

Error Sampling::why_not() const {
    const bool is_a = cell_ == CellInput::a;
    if ((last_flags_ & wire::flag_converter_fault) != 0)
        return no_sample("the logger's converter does not answer: no potential is measured",
                         "The logger needs repair.");
    if ((last_flags_ & (is_a ? wire::flag_saturated_a : wire::flag_saturated_b)) != 0)
        return no_sample("the voltage is beyond what the logger can measure",
                         "Look at the source and at what is joined to the jack.");
    if (cell_missing_)
        return no_sample(
            is_a ? "the logger measures nothing at cell A"
                 : "the logger takes cell B for absent and does not measure it",
            "Join the source to that cell's jack and the hull's clip; behind more than some "
            "170 kohm nothing counts as a cell.");
    if (seen_ == 0) return no_sample("the logger sends no readings", "Look at its status.");
    return no_sample("the readings do not settle",
                     "Leave the source and its leads alone while it is measured.");
}

Result<Sample> Sampling::sample() const {
    if (wanted_ == SampleOf::response) {
        if (response_ == wire::missing_byte)
            return no_sample("the logger does not look at its leads", "Look at its status.");
        return Sample{missing_value,       missing_value, missing_value,   {},   missing_value,
                      wire::missing_count, response_,     other_response_, bits_};
    }
    if (codes_.size() < readings_of_a_mean) return why_not();
    if (references_.size() < readings_of_a_mean / 2)
        return no_sample("the converter's own checks are missing",
                         "Unplug the logger, plug it in again and start anew.");
    if (boards_c_.empty())
        return no_sample("the clock chip does not tell the board's temperature",
                         "The logger needs repair: without it no drift can be corrected.");
    const double mean = mean_of(codes_);
    const double zero = mean_of(zeros_);
    return Sample{mean,
                  deviation_of(codes_, mean),
                  mean_of(other_codes_),
                  {zero, mean_of(references_) - zero},
                  mean_of(boards_c_),
                  rms_of(ac_codes_),
                  response_,
                  other_response_,
                  bits_};
}

} // namespace quaycell
