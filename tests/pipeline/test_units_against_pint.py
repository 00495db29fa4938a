"""Every unit that a general-purpose units library knows too has the same factor there (pint, default registry)."""

from fractions import Fraction

import pint
import pytest

from pipeline.reference import basis_factors, shipped_analytes, unit_spellings
from pipeline.units import UnitTable

UNITS = UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
REGISTRY = pint.UnitRegistry(non_int_type=Fraction)

IN_PINT = {
    "ug/L": "microgram / liter",
    "mg/L": "milligram / liter",
    "ng/L": "nanogram / liter",
    "pg/L": "picogram / liter",
    "g/L": "gram / liter",
    "ng/mL": "nanogram / milliliter",
    "ug/mL": "microgram / milliliter",
    "mg/mL": "milligram / milliliter",
    "lb/kgal": "pound / (1000 * gallon)",
    "lb/MG": "pound / (1000000 * gallon)",
    "g/gal": "gram / gallon",
    "gpg": "grain / gallon",
    "mol/L": "mole / liter",
    "mmol/L": "millimole / liter",
    "umol/L": "micromole / liter",
    "pCi/L": "picocurie / liter",
    "Bq/L": "becquerel / liter",
    "mBq/L": "millibecquerel / liter",
    "Bq/m3": "becquerel / meter ** 3",
    "uCi/mL": "microcurie / milliliter",
    "fCi/L": "femtocurie / liter",
    "mrem/yr": "millirem / year",
    "mSv/yr": "millisievert / year",
    "uSv/yr": "microsievert / year",
    "m3/d": "meter ** 3 / day",
    "m3/h": "meter ** 3 / hour",
    "m3/s": "meter ** 3 / second",
    "L/s": "liter / second",
    "L/min": "liter / minute",
    "L/h": "liter / hour",
    "ML/d": "megaliter / day",
    "mgd": "1000000 * gallon / day",
    "gpm": "gallon / minute",
    "gpd": "gallon / day",
    "gph": "gallon / hour",
    "kgal/d": "1000 * gallon / day",
    "ft3/s": "foot ** 3 / second",
    "acre-ft/d": "43560 * foot ** 3 / day",
    "acre-ft/yr": "43560 * foot ** 3 / year",
    "m3": "meter ** 3",
    "L": "liter",
    "mL": "milliliter",
    "gal": "gallon",
    "kgal": "1000 * gallon",
    "Mgal": "1000000 * gallon",
    "ft3": "foot ** 3",
    "acre-ft": "43560 * foot ** 3",
    "km2": "kilometer ** 2",
    "mi2": "mile ** 2",
    "m": "meter",
    "cm": "centimeter",
    "mm": "millimeter",
    "um": "micrometer",
    "ft": "foot",
    "in": "inch",
    "ft/s": "foot / second",
    "m/s": "meter / second",
    "m/h": "meter / hour",
    "gpm/ft2": "gallon / minute / foot ** 2",
    "L/(m2.h)": "liter / meter ** 2 / hour",
    "gfd": "gallon / foot ** 2 / day",
    "L/(m2.h.bar)": "liter / meter ** 2 / hour / bar",
    "gfd/psi": "gallon / foot ** 2 / day / psi",
    "kPa": "kilopascal",
    "Pa": "pascal",
    "MPa": "megapascal",
    "bar": "bar",
    "mbar": "millibar",
    "psi": "psi",
    "mmHg": "mmHg",
    "inHg": "inHg",
    "atm": "standard_atmosphere",
    "kPa/min": "kilopascal / minute",
    "psi/min": "psi / minute",
    "mbar/min": "millibar / minute",
    "uS/cm": "microsiemens / centimeter",
    "mS/cm": "millisiemens / centimeter",
    "mS/m": "millisiemens / meter",
    "S/m": "siemens / meter",
    "mJ/cm2": "millijoule / centimeter ** 2",
    "J/m2": "joule / meter ** 2",
    "mW/cm2": "milliwatt / centimeter ** 2",
    "W/m2": "watt / meter ** 2",
    "kWh/m3": "kilowatt_hour / meter ** 3",
    "kWh/kgal": "kilowatt_hour / (1000 * gallon)",
    "kg/d": "kilogram / day",
    "lb/d": "pound / day",
    "ton (US)/d": "short_ton / day",
    "g/kg": "gram / kilogram",
    "mg/kg": "milligram / kilogram",
    "ug/kg": "microgram / kilogram",
    "ng/kg": "nanogram / kilogram",
    "mg.min/L": "milligram * minute / liter",
    "min": "minute",
    "h": "hour",
    "s": "second",
    "d": "day",
    "mV": "millivolt",
    "V": "volt",
    "1/cm": "1 / centimeter",
    "1/m": "1 / meter",
    "Mohm.cm": "megaohm * centimeter",
    "L/(mg.m)": "liter / milligram / meter",
    "mL/L": "milliliter / liter",
}
# Mercury columns and the mile of pint rest on rounded or survey figures; they agree to seven digits.
RELATIVE = 2e-7


@pytest.mark.parametrize("unit", IN_PINT)
def test_the_factor_agrees_with_pint(unit: str) -> None:
    match = UNITS.resolve(unit)
    ratio = REGISTRY.Quantity(Fraction(1), "dimensionless") * REGISTRY.parse_expression(IN_PINT[unit])
    base = REGISTRY.parse_expression(IN_PINT[match.base_unit])
    assert float((ratio / base).to("dimensionless").magnitude) == pytest.approx(float(match.factor), rel=RELATIVE)


@pytest.mark.parametrize(("unit", "in_pint"), [("deg F", "degF"), ("K", "kelvin"), ("deg C", "degC")])
@pytest.mark.parametrize("degrees", [-40, 0, 68, 300])
def test_temperatures_agree_with_pint(unit: str, in_pint: str, degrees: int) -> None:
    celsius = UNITS.conversion("Temperature, water", unit, "", "deg C", "").apply(Fraction(degrees))
    by_pint = pint.UnitRegistry().Quantity(float(degrees), in_pint).to("degC").magnitude
    assert float(celsius) == pytest.approx(by_pint, abs=1e-9)
