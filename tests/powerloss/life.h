// The log from one power-up to the next, doing what it is told while the journal keeps watch.
#pragma once

#include "flash.h"
#include "workload.h"

#include <memory>

namespace quaycell::powerloss {

class Life {
  public:
    /// Power comes on. `observer` is called before each operation on the flash, and before the
    /// journal hears of it.
    Life(Cells& cells, Journal& journal, Flash::Observer observer = {});
    ~Life();
    Life(const Life&) = delete;
    Life& operator=(const Life&) = delete;

    void perform(const Step& step);
    /// Records until two stand in the next sector, or the memory is full.
    void cross_a_border();
    /// Holds all that the log says and shows against the journal.
    void check();

  private:
    void append(wire::RecordKind kind);
    void fill_up();
    void arm(wire::FullPolicy policy);
    void forget_all();
    void end_recording();
    /// The Stop record that the log has written of its own, because the memory is full.
    void promise_last();
    /// The orders that begin a sector of their own.
    template <typename Record, typename Call>
    void begin_anew(Record& record, Standing ordered, Call call);
    void wait_ready();
    template <typename Ready>
    void wait(Ready ready);
    Claim claim() const;

    Journal& journal_;
    Flash flash_;
    struct Log; // only life.cpp sees it: that alone is built anew for a log with a fault
    std::unique_ptr<Log> log_;
};

} // namespace quaycell::powerloss
