// The analogue side between the sea and the converters: filters, AC amplifiers, stimulus, COM.
#pragma once

#include "bench/sea/calibrator.h"
#include "bench/sea/scenario.h"

namespace quaycell::bench {

class FrontEnd {
  public:
    /// `scenario` outlives the front end.
    explicit FrontEnd(const Scenario& scenario) : scenario_(scenario) {}

    /// The supply comes on: the filters are empty.
    void power_on(Time now) { powered_ = now; }
    /// What a person joins to it in the place of the scenario's sea.
    Calibrator& calibrator() { return calibrator_; }
    const Calibrator& calibrator() const { return calibrator_; }

    /// Temperature of the board, [degC].
    double board_c(Time when) const;

    /// A cell's stimulus pin moves.
    void stimulate(Cell cell, bool high, Time now);

    /// COM above ground, [V].
    double com_v(Time when) const;
    /// Mean of a cell's filtered input above COM from one time to the other, [V].
    double cell_v(Cell cell, Time from, Time to) const;
    /// Output of a cell's AC amplifier above ground, [mV].
    double ac_output_mv(Cell cell, Time when);

  private:
    /// Of the unfiltered input against COM; what a cell holds whose lead is open.
    double electrode_mv(Cell cell, Time when) const;
    double connected_mv(Cell cell, Time when) const;
    const LeadFault* fault_of(Cell cell, Time when) const;
    bool fitted(Cell cell, Time when) const;
    double ac_rms_mv(Cell cell, Time when) const;
    double ac_hz(Cell cell, Time when) const;
    double source_ohm(Cell cell, Time when) const;
    double response_mv(Cell cell, Time when) const;
    double ac_residue_mv(Cell cell, Time from, Time to) const;
    double disturbance_mv(Cell cell, Time when) const;

    /// What a cell's stimulus pin did last.
    struct Edges {
        Time first_rise{0}, last_rise{0}, last{Time::min()};
        Time period{0};
    };
    const Edges& edges(Cell cell) const { return edges_[static_cast<unsigned>(cell)]; }

    /// What hardly changes from one sample of a burst to the next.
    struct Level {
        std::int64_t tenth_s = -1; ///< of the time it was looked up for
        double ac_peak_mv, ac_hz, response_mv;
    };
    const Level& level(Cell cell, Time when);

    const Scenario& scenario_;
    Calibrator calibrator_;
    Time powered_{0};
    Edges edges_[2];
    Level levels_[2];
    std::uint64_t samples_ = 0;
};

} // namespace quaycell::bench
