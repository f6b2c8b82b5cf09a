// Activity coefficients of a 1:1 salt in water, by Pitzer's equations.
#pragma once

namespace quaycell {

enum class Salt { sodium_chloride, potassium_chloride };

/// Debye-Hueckel slope A_phi, [(kg/mol)^0.5]. Fitted for 0 to 250 degC.
double debye_hueckel_slope(double temperature_c);

/// The three interaction parameters of a salt: [kg/mol], [kg/mol], [(kg/mol)^2].
struct PitzerParameters {
    double beta0;
    double beta1;
    double c_phi;
};

PitzerParameters pitzer_parameters(Salt salt, double temperature_c);

/// Mean activity coefficient of the salt alone at this ionic strength ([mol/kg water], up to 6).
/// Source of the fits: Moeller 1988; Greenberg and Moeller 1989, Geochim. Cosmochim. Acta 52:821
/// and 53:2503; coefficients read in a public implementation.
double mean_activity_coefficient(Salt salt, double ionic_strength, double temperature_c);

} // namespace quaycell
