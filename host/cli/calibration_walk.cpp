#include "cli/calibration_walk.h"

#include "calibration/second_temperature.h"
#include "cli/interrupt.h"
#include "cli/progress_line.h"
#include "judging/options.h"

#include <algorithm>
#include <fmt/format.h>
#include <iostream>

namespace quaycell {

namespace {

constexpr const char* nothing_written = "Nothing was written to the logger.";

char letter(CellInput cell) {
    return cell == CellInput::a ? 'A' : 'B';
}

std::string step_words(const Step& step, CellInput cell) {
    std::string words = fmt::format("step {}, cell {}", step.number, letter(cell));
    if (step.kind == StepKind::ac) return words + fmt::format(", {} Hz", step.place);
    if (step.has_source || step.kind == StepKind::verify)
        words += fmt::format(", {:.0f} mV", step.nominal_mv);
    return words;
}

bool may_be_left_out(const Step& step) {
    return step.number >= first_skippable_step && step.number <= last_skippable_step;
}

/// The error that ends a walk, with the place it had come to.
Error ended(Error error, const std::string& where) {
    if (error.where.empty()) error.where = where;
    error.remedy += (error.remedy.empty() ? "" : " ") + std::string(nothing_written);
    return error;
}

enum class Answered { meter, leave_out };

class Guide {
  public:
    Guide(Logger& logger, Answers& answers) : logger_(logger), answers_(answers) {}

    /// Asks until the step is ready to be measured. Error: the walk is over.
    Result<Answered> ask(const Step& step, CellInput cell, MeterReading& meter) {
        where_ = step_words(step, cell);
        std::cerr << '\n' << where_ << "\n  " << step.connect;
        if (step.has_source) std::cerr << fmt::format("{:+.0f} mV.", step.nominal_mv);
        std::cerr << '\n';
        const std::string also = may_be_left_out(step) ? ", s to leave the step out" : "";
        if (!step.has_source)
            return ask_line("Enter when it is done" + also, step, [](const std::string& answer) {
                return !answer.empty()
                           ? std::optional{Error{ErrorCode::wrong_usage,
                                                 fmt::format("\"{}\" is no answer here", answer),
                                                 "", "Press Enter alone"}}
                           : std::nullopt;
            });
        const auto dc =
            ask_line("what the multimeter shows (DC)" + also, step,
                     [&](const std::string& answer) { return take_mv(answer, meter.dc_mv); });
        if (!dc || *dc == Answered::leave_out || step.kind != StepKind::ac) return dc;
        return ask_line("what it shows in its AC range" + also, step,
                        [&](const std::string& answer) { return take_mv(answer, meter.ac_mv); });
    }

    /// The settled mean. Error: refused may be repeated, all others end the walk.
    Result<Sample> measure(const Step& step, CellInput cell) {
        Sampling sampling(cell, step.settle_s,
                          step.kind == StepKind::stimulus ? SampleOf::response
                                                          : SampleOf::potential);
        ProgressLine progress("  measuring", "readings");
        const auto watched = logger_.live([&](const wire::LiveReading& live) {
            const bool more = sampling.take(live);
            progress.show(sampling.taken(), readings_of_a_mean);
            return more && !interrupted() ? AfterReading::go_on : AfterReading::end;
        });
        if (!watched) return ended(watched.error(), "");
        if (interrupted())
            return ended({ErrorCode::interrupted, "ended by Ctrl-C", "", ""}, where_);
        return sampling.sample();
    }

    /// Shows the outcome; whether all is accepted.
    bool show(const Result<std::vector<Check>>& outcome) {
        refusal_.reset();
        if (!outcome) {
            refusal_ = outcome.error();
            std::cerr << "  refused: " << to_text(*refusal_) << '\n';
            return false;
        }
        for (const Check& check : *outcome) {
            std::cerr << "  " << to_text(check) << '\n';
            if (!check.accepted())
                refusal_ = Error{ErrorCode::refused, to_text(check), "",
                                 "Look at source, leads and multimeter; if it stays so, the logger "
                                 "is not as it was designed."};
        }
        if (refusal_) std::cerr << "  Look at source, leads and multimeter, and measure again.\n";
        return !refusal_;
    }

    const std::string& where() const { return where_; }

  private:
    static std::optional<Error> take_mv(const std::string& answer, double& mv) {
        const auto typed = potential_from(answer, "");
        if (!typed) return typed.error();
        mv = *typed;
        return std::nullopt;
    }

    template <typename Take>
    Result<Answered> ask_line(const std::string& what, const Step& step, const Take& take) {
        for (;;) {
            std::cerr << "  " << what << ", q to end: " << std::flush;
            const auto answer = answers_.next();
            if (!answer) return ended(answer.error(), where_);
            if (!*answer) {
                std::cerr << '\n';
                if (refusal_) {
                    refusal_->code = ErrorCode::refused;
                    return ended(*refusal_, where_);
                }
                return ended({ErrorCode::refused, "the answers end before this step is done",
                              where_, "Give one line for each question."},
                             where_);
            }
            if (**answer == "q")
                return ended({ErrorCode::interrupted, "ended by the user", "", ""}, where_);
            if (**answer == "s" && may_be_left_out(step)) return Answered::leave_out;
            const std::optional<Error> complaint = take(**answer);
            if (!complaint) return Answered::meter;
            refusal_ = complaint;
            std::cerr << "  " << to_text(*complaint) << '\n';
        }
    }

    Logger& logger_;
    Answers& answers_;
    std::string where_;
    std::optional<Error> refusal_; ///< what stands in the way now
};

void keep(const std::vector<Check>& checks, CellInput cell, Walked& walked) {
    for (const Check& check : checks)
        walked.checks.push_back({cell, check});
}

Result<Done> compare_cell(Guide& guide, CellInput cell, const std::vector<int>& left_out,
                          Comparison& comparison, Walked& walked) {
    const std::span<const Step> steps = comparison_steps();
    std::size_t next = 0;
    while (next < steps.size()) {
        const Step& step = steps[next];
        const auto leave_out = [&] {
            walked.left_out.push_back(step_words(step, cell));
            ++next;
        };
        // Behind 10 Mohm the logger takes cell B for absent and does not measure it.
        const bool unmeasurable = cell == CellInput::b && step.kind == StepKind::behind_10_mohm;
        if (unmeasurable || std::ranges::find(left_out, step.number) != left_out.end()) {
            leave_out();
            continue;
        }
        MeterReading meter;
        const auto answered = guide.ask(step, cell, meter);
        if (!answered) return answered.error();
        if (*answered == Answered::leave_out) {
            leave_out();
            continue;
        }
        if (auto error = mistyped(step, meter)) {
            guide.show(*error);
            continue;
        }
        const auto sample = guide.measure(step, cell);
        if (!sample && sample.error().code != ErrorCode::refused) return sample.error();
        const auto outcome = sample ? comparison.take(cell, step, *sample, meter)
                                    : Result<std::vector<Check>>(sample.error());
        if (guide.show(outcome)) {
            keep(*outcome, cell, walked);
            ++next;
        } else if (step.kind == StepKind::fit_second) {
            --next; // a line that is refused needs both of its points again
        }
    }
    return Done{};
}

} // namespace

Result<Walked> compare(Logger& logger, const WalkOptions& options, Answers& answers,
                       Comparison& comparison) {
    Guide guide(logger, answers);
    Walked walked;
    std::vector<CellInput> cells{CellInput::a};
    if (options.cell_b) cells.push_back(CellInput::b);
    for (const CellInput cell : cells) {
        const auto compared = compare_cell(guide, cell, options.left_out, comparison, walked);
        if (!compared) return compared.error();
    }
    const Check bits = comparison.bits_check();
    keep({bits}, CellInput::a, walked);
    std::cerr << "\n  " << to_text(bits) << '\n';
    if (bits.accepted()) return walked;
    return ended({ErrorCode::refused, to_text(bits), "",
                  "The converter is not what it is sold as: the logger needs another one."},
                 "step 10");
}

Result<Walked> compare_at_second_temperature(Logger& logger, bool cell_b, Answers& answers,
                                             SecondTemperature& second) {
    Guide guide(logger, answers);
    Walked walked;
    std::vector<CellInput> cells{CellInput::a};
    if (cell_b) cells.push_back(CellInput::b);
    for (const CellInput cell : cells) {
        const Step& step = second_temperature_source();
        for (bool accepted = false; !accepted;) {
            MeterReading meter;
            const auto answered = guide.ask(step, cell, meter);
            if (!answered) return answered.error();
            if (auto error = mistyped(step, meter)) {
                guide.show(*error);
                continue;
            }
            const auto sample = guide.measure(step, cell);
            if (!sample && sample.error().code != ErrorCode::refused) return sample.error();
            const auto outcome = sample ? second.take(cell, *sample, meter)
                                        : Result<std::vector<Check>>(sample.error());
            accepted = guide.show(outcome);
            if (accepted) keep(*outcome, cell, walked);
        }
    }
    return walked;
}

} // namespace quaycell
