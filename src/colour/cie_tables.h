// CIE tables from data/cie, embedded when the program is built (cmake/embed_cie.cmake).
#pragma once

#include <array>

#include "base/modules.h"

namespace witnessline::colour {

using ObserverTable = std::array<double, 421>;   ///< 360 to 780 nm by 1
using IlluminantTable = std::array<double, 81>;  ///< 380 to 780 nm by 5

extern const ObserverTable cie_x2, cie_y2, cie_z2, cie_x10, cie_y10, cie_z10;
extern const IlluminantTable cie_a, cie_c, cie_d50, cie_d65, cie_led_b3;

}  // namespace witnessline::colour
