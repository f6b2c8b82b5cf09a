#include "anode/resistance.h"

#include <cmath>
#include <doctest/doctest.h>

using namespace quaycell;

// The rods of a handbook and a ship's plates are held to their printed values in
// tests/check-values.

TEST_CASE("a long plate and the same bar held off have their own formulas") {
    const AnodeShape plate{Mounting::flush, 1.4, 0.15, 0.06};
    CHECK(form_of(plate) == ResistanceForm::long_flush);
    // Lloyd and Dwight by hand: 0.5875 / (1.4 + 0.15), and r = 0.42 / (2 pi) m,
    // 0.5875 / (2 pi 1.4) * (ln(5.6 / r) - 1) ohm.
    CHECK(resistance_ohm(plate, 0.5875) == doctest::Approx(0.37903).epsilon(1e-4));
    CHECK(resistance_ohm({Mounting::stand_off, 1.4, 0.15, 0.06}, 0.5875) ==
          doctest::Approx(0.229).epsilon(0.002));
}

TEST_CASE("when it is spent it is a tenth shorter") {
    // 4.125 kg of 2750 kg/m3 are 0.0015 m3.
    const AnodeShape spent = spent_shape({Mounting::flush, 1.4, 0.15, 0.06}, 4.125, 2750);
    CHECK(spent.length_m == doctest::Approx(1.26));
    // Half a round bar of 0.0015 m3 along 1.26 m, by hand: r = sqrt(2 * 0.0015 / (pi * 1.26)).
    CHECK(spent.width_m == doctest::Approx(2 * 0.027530).epsilon(0.001));
}

TEST_CASE("a small plate and a bracelet go by their face alone") {
    // McCoy by hand: 0.315 * 0.25 / sqrt(0.02).
    CHECK(resistance_ohm({Mounting::flush, 0.2, 0.1}, 0.25) == doctest::Approx(0.55685));
    CHECK(form_of({Mounting::flush, 0.2, 0.1}) == ResistanceForm::short_flush);
    CHECK(resistance_ohm({Mounting::bracelet, 0.2, 0.1}, 0.25) == doctest::Approx(0.55685));
    // Its sides count where they are known: 0.02 + 2 * 0.03 * 0.3 = 0.038 m2.
    CHECK(resistance_ohm({Mounting::flush, 0.2, 0.1, 0.03}, 0.25) ==
          doctest::Approx(0.315 * 0.25 / std::sqrt(0.038)));
}

TEST_CASE("resistance grows with resistivity, and falls with size, in proportion") {
    for (const Mounting mounting : {Mounting::stand_off, Mounting::flush, Mounting::bracelet}) {
        for (const double length_m : {0.12, 0.9}) {
            const AnodeShape anode{mounting, length_m, 0.1, 0.05};
            const AnodeShape twice{mounting, 2 * length_m, 0.2, 0.1};
            const double ohm = resistance_ohm(anode, 0.3);
            CHECK(resistance_ohm(anode, 3) == doctest::Approx(10 * ohm));
            CHECK(resistance_ohm(twice, 0.3) == doctest::Approx(ohm / 2));
        }
    }
}

TEST_CASE("long and short forms join within what the codes themselves differ by") {
    // Where L = 4r the two formulas of a bar differ by 7 % (1.8937 against 1.7726, by hand).
    const double radius_m = 0.05;
    const AnodeShape just_long{Mounting::stand_off, 4 * radius_m * 1.0001, 2 * radius_m};
    const AnodeShape just_short{Mounting::stand_off, 4 * radius_m * 0.9999, 2 * radius_m};
    CHECK(form_of(just_long) == ResistanceForm::long_stand_off);
    CHECK(form_of(just_short) == ResistanceForm::short_stand_off);
    CHECK(resistance_ohm(just_short, 1) / resistance_ohm(just_long, 1) ==
          doctest::Approx(1.8937 / 1.7726).epsilon(0.001));
    // Where L = 4 widths Lloyd and McCoy differ by 21 % (0.2 against 0.1575, by hand).
    CHECK(resistance_ohm({Mounting::flush, 0.4, 0.1}, 1) / 0.315 * std::sqrt(0.04) ==
          doctest::Approx(0.2 / 0.1575).epsilon(0.001));
}
