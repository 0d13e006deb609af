"""Constants that several files share, each with its unit and source."""

from __future__ import annotations

ZERO_C_K = 273.15
"""0 °C [K]. Definition, exact."""
STANDARD_PRESSURE_KPA = 101.325
"""The standard atmosphere [kPa]: ISO 2533 at sea level, and the pressure of a standard litre. Definition, exact."""
