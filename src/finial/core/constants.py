"""Physical constants used in more than one package, each with its source."""

from typing import Final

STANDARD_GRAVITY_M_S2: Final = 9.80665
"""Standard acceleration of free fall [m/s^2]; 3rd CGPM (1901), exact by definition."""

STANDARD_PRESSURE_PA: Final = 101_325.0
"""Sea-level pressure of the standard atmosphere [Pa]; ISO 2533:1975."""

STANDARD_TEMPERATURE_K: Final = 288.15
"""Sea-level temperature of the standard atmosphere [K]; ISO 2533:1975."""

STANDARD_DENSITY_KG_M3: Final = 1.225
"""Sea-level density of the standard atmosphere [kg/m^3]; ISO 2533:1975."""

GAS_CONSTANT_AIR_J_KG_K: Final = 287.05287
"""Specific gas constant of dry air [J/(kg K)]; ISO 2533:1975."""

HEAT_RATIO_AIR: Final = 1.4
"""Ratio of specific heats of air [-]; ISO 2533:1975."""

ZERO_CELSIUS_K: Final = 273.15
"""0 degC in kelvin; exact by definition."""
