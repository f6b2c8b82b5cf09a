// Zero and gain of the converter, pair by pair, until they make a Check record.
#pragma once

#include "logger/converter.h"
#include "wire/messages.h"

namespace quaycell {
namespace logger {

class CheckSums {
  public:
    static constexpr uint8_t opening_pairs = 4;  ///< before the first reading of a deployment
    static constexpr uint8_t regular_pairs = 16; ///< an hour's

    explicit constexpr CheckSums(const wire::Circuit& circuit)
        : lowest_reference_(part_of_reference(circuit, reference_part - 1)),
          highest_reference_(part_of_reference(circuit, reference_part + 1)) {}

    /// Forgets what was summed; the first record comes after the opening pairs.
    void begin() {
        end();
        wanted_ = opening_pairs;
        opening_ = true;
    }

    /// Forgets it, and wants no more.
    void end() {
        sums_ = Sums{};
        wanted_ = 0;
        have_zero_ = false;
        opening_ = false;
    }

    void want_pair() { ++wanted_; }

    /// One pair for a host that looks on, which no record counts.
    void want_look() { look_wanted_ = true; }

    /// Its codes, once; missing_code when there is no new pair.
    void take_look(int16_t& zero, int16_t& reference) {
        zero = look_zero_;
        reference = look_reference_;
        look_zero_ = wire::missing_code;
        look_reference_ = wire::missing_code;
    }

    /// No reading is recorded before the opening pairs are through.
    bool opening() const { return opening_; }

    bool wants_conversion() const { return wanted_ > 0 || look_wanted_; }
    Input next() const { return have_zero_ ? Input::reference : Input::zero; }

    /// The conversion that was under way at begin() or end() may still come in: what belongs to no
    /// pair of now is dropped.
    void add(Input input, int16_t code) {
        if (input == Input::zero)
            zero_is_wrong_ = code < -zero_bound || code > zero_bound;
        else
            reference_is_wrong_ = code < lowest_reference_ || code > highest_reference_;
        if (!wants_conversion()) return;
        if (input == Input::zero) {
            zero_ = code;
            have_zero_ = true;
            return;
        }
        if (!have_zero_) return;
        have_zero_ = false;
        look_wanted_ = false;
        look_zero_ = zero_;
        look_reference_ = code;
        if (wanted_ == 0) return;
        --wanted_;
        sums_.zero += zero_;
        sums_.reference += code;
        ++sums_.count;
    }

    /// The pair is given up.
    void fail() {
        have_zero_ = false;
        look_wanted_ = false;
        if (wanted_ > 0) --wanted_;
    }

    /// Whether the last pair was so far off that no other reading of the converter can be believed.
    bool wrong() const { return zero_is_wrong_ || reference_is_wrong_; }

    bool record_due() const { return (opening_ && wanted_ == 0) || sums_.count >= regular_pairs; }

    /// What to write; count is 0 when no pair succeeded. Starts the next sum.
    void take(wire::Check& check) {
        check.zero_sum = sums_.zero;
        check.reference_sum = sums_.reference;
        check.count = sums_.count;
        sums_ = Sums{};
        opening_ = false;
    }

  private:
    /// Eight times what data sheets allow offset (3 codes), gain (0.15 %) and reference (0.2 %) of
    /// sound parts. Our judgement.
    static constexpr int16_t zero_bound = 24;
    static constexpr uint8_t reference_part = 32;

    /// The code of so many reference_part-ths of the nominal reference.
    static constexpr int16_t part_of_reference(const wire::Circuit& circuit, uint8_t parts) {
        return static_cast<int16_t>(uint64_t{circuit.reference_uv} * 1000 /
                                    circuit.converter_lsb_nv * parts / reference_part);
    }

    struct Sums {
        int32_t zero = 0;
        int32_t reference = 0;
        uint8_t count = 0;
    };

    Sums sums_;
    const int16_t lowest_reference_;
    const int16_t highest_reference_;
    int16_t zero_ = 0;
    int16_t look_zero_ = wire::missing_code;
    int16_t look_reference_ = wire::missing_code;
    uint8_t wanted_ = 0;
    bool look_wanted_ = false;
    bool have_zero_ = false;
    bool opening_ = false;
    bool zero_is_wrong_ = false;
    bool reference_is_wrong_ = false;
};

} // namespace logger
} // namespace quaycell
