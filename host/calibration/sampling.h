// From live readings to one settled mean.
#pragma once

#include "calibration/bits_seen.h"
#include "series/conversion.h"

#include <vector>

namespace quaycell {

constexpr std::size_t readings_of_a_mean = 16;

/// What is sampled for: a settled potential and all beside it, or the cell's answer to the stimulus
/// alone, which comes first and where nothing is joined, too.
enum class SampleOf { potential, response };

/// One cell's input over as many readings, each a single conversion.
struct Sample {
    double code;          ///< mean, [codes]; missing where only the response was wanted
    double scatter_codes; ///< standard deviation of one reading
    double other_code;    ///< mean at the other cell; missing where nothing answers there
    ConverterState converter;
    double board_c;        ///< missing where the clock chip did not tell it
    std::uint16_t ac_code; ///< rms, as Reading::ac_a; missing_count where none was measured
    std::uint8_t response; ///< to the stimulus, the last; missing_byte where nobody looked
    std::uint8_t other_response;
    BitsSeen bits; ///< of every code that the converter gave
};

class Sampling {
  public:
    /// Readings of the first `settle_s` seconds do not count, nor do those that the logger marks as
    /// unsettled.
    Sampling(CellInput cell, std::uint32_t settle_s, SampleOf wanted = SampleOf::potential)
        : cell_(cell), settle_s_(settle_s), wanted_(wanted) {}

    /// False when there is enough, or when waiting longer would not help.
    bool take(const wire::LiveReading& live);

    std::size_t taken() const { return codes_.size(); }

    /// Error: refused, when the converter or the clock chip does not answer, the input is beyond
    /// its range or does not settle, or the logger takes the cell for absent.
    Result<Sample> sample() const;

  private:
    bool usable(const wire::Reading& reading) const;
    Error why_not() const;

    CellInput cell_;
    std::uint32_t settle_s_;
    SampleOf wanted_;
    std::uint32_t first_tick_s_ = 0;
    std::uint32_t seen_ = 0;
    std::uint16_t last_flags_ = 0;
    bool cell_missing_ = false; ///< in the last reading
    std::uint8_t response_ = wire::missing_byte;
    std::uint8_t other_response_ = wire::missing_byte;
    std::vector<double> codes_, other_codes_, zeros_, references_, boards_c_, ac_codes_;
    BitsSeen bits_;
};

} // namespace quaycell
