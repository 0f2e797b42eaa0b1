"""Physical constants, each once, with unit, source and mark.

FOUND: read in the named place. MEMORY: recalled, not seen.
"""

# U.S. Standard Atmosphere 1976 / ISO 2533:1975, definitions. FOUND.
STANDARD_GRAVITY_M_S2 = 9.80665
ISA_SEA_LEVEL_PRESSURE_PA = 101_325.0
ISA_SEA_LEVEL_TEMPERATURE_K = 288.15
ISA_SEA_LEVEL_DENSITY_KG_M3 = 1.225
ISA_LAPSE_RATE_K_M = 0.0065
ISA_LOWEST_M = -5_000.0
ISA_TROPOPAUSE_M = 11_000.0
AIR_GAS_CONSTANT_J_KG_K = 287.05287
RATIO_OF_SPECIFIC_HEATS = 1.4
ISA_SEA_LEVEL_SPEED_OF_SOUND_M_S = 340.294
# Earth radius of the 1976 standard's geopotential. FOUND.
GEOPOTENTIAL_EARTH_RADIUS_M = 6_356_766.0
# Sutherland's law as the 1976 standard uses it. FOUND.
SUTHERLAND_CONSTANT_PA_S_K05 = 1.458e-6
SUTHERLAND_TEMPERATURE_K = 110.4

# Specific gas constant of water vapour. FOUND via the usual moist-air density equation.
WATER_VAPOUR_GAS_CONSTANT_J_KG_K = 461.495

# Speed of light in vacuum, by definition of the metre.
SPEED_OF_LIGHT_M_S = 299_792_458.0

# Zero of the Celsius scale, by definition.
CELSIUS_ZERO_K = 273.15

# Conversion factors, exact by international agreement unless a remark says otherwise.
FOOT_M = 0.3048
US_SURVEY_FOOT_M = 1200.0 / 3937.0
INCH_M = 0.0254
POUND_KG = 0.45359237
KNOT_M_S = 1852.0 / 3600.0
MILE_M = 1609.344
NAUTICAL_MILE_M = 1852.0
WATT_HOUR_J = 3_600.0
INCH_OF_MERCURY_PA = 3_386.389  # FOUND (conventional inch of mercury)

# A standard normal variable lies below this in nine cases of ten (quantile 0.9). Closed form.
NINE_IN_TEN_Z = 1.2815515655446004
# And lies within this on both sides in nine cases of ten (quantile 0.95), as "LE90" is read.
# MEMORY, to the digits that such figures are usually printed in.
WITHIN_NINE_IN_TEN_Z = 1.645
