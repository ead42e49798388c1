// Moist air: what decides whether a cooling film blushes and how damp the wood is.
#pragma once

#include "base/modules.h"

namespace witnessline::materials {

inline constexpr double standard_pressure_Pa = 101325.0;

/// Vapour pressure of water over water [Pa].
/// Law: Hyland and Wexler, ln p = c1/T + c2 + c3 T + c4 T^2 + c5 T^3 + c6 ln T. Source: ashrae2017, ch. 1, Eq. 6.
/// Valid: 0 to 200 degC; below 0 degC it is over undercooled water.
/// Departs: pure water vapour; air raises it by 0.4 %, which is left out.
double saturation_pressure_Pa(double temperature_K);

/// Temperature at which this air is saturated [K]. Law: the equation above solved for T. Valid: 0 < RH <= 1.
double dew_point_K(double temperature_K, double relative_humidity);

/// Water per dry air [kg/kg]. Law: W = 0.621945 e/(p - e). Source: ashrae2017, ch. 1, Eq. 20.
double humidity_ratio(double vapour_pressure_Pa, double pressure_Pa = standard_pressure_Pa);

/// Water per dry air from a wet and a dry thermometer [kg/kg].
/// Law: W = ((2501 - 2.326 t_w) W_s(t_w) - 1.006 (t - t_w)) / (2501 + 1.86 t - 4.186 t_w), t in degC.
/// Source: ashrae2017, ch. 1, Eq. 33. Valid: above 0 degC.
double humidity_ratio_of_wet_bulb(double temperature_K, double wet_bulb_K, double pressure_Pa = standard_pressure_Pa);

/// Temperature a wetted thermometer shows [K]. Law: the equation above solved for t_w. Valid: above 0 degC.
double wet_bulb_K(double temperature_K, double relative_humidity, double pressure_Pa = standard_pressure_Pa);

/// Vapour pressure of the water in air of this humidity ratio [Pa]. Law: humidity_ratio inverted.
double vapour_pressure_of_ratio_Pa(double humidity_ratio, double pressure_Pa = standard_pressure_Pa);

/// Heat content per dry air, from dry air at 0 degC [J/kg]. Source: ashrae2017, ch. 1, Eq. 30.
double moist_air_enthalpy_J_kg(double temperature_K, double humidity_ratio);

/// Volume per dry air [m3/kg]. Source: ashrae2017, ch. 1, Eq. 26.
double moist_air_volume_m3_kg(double temperature_K, double humidity_ratio, double pressure_Pa = standard_pressure_Pa);

}  // namespace witnessline::materials
