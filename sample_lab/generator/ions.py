"""Charge balance, conductivity and dissolved solids of a water, after Standard Methods 1030 E and 2510 A.

Equivalent weights and equivalent conductances are the handbook's [memory].
"""

import math
from collections.abc import Mapping

# mg per meq.
CATIONS = {"Calcium": 20.039, "Magnesium": 12.1525, "Sodium": 22.990, "Potassium": 39.098, "Ammonia": 14.007}
ANIONS = {
    "Alkalinity, total": 50.044, "Chloride": 35.453, "Sulfate": 48.03, "Nitrate": 14.007, "Nitrite": 14.007,
    "Fluoride": 18.998,
}  # fmt: skip
# uS/cm per meq/L at infinite dilution and 25 deg C.
_CONDUCTANCE = {
    "Calcium": 59.5, "Magnesium": 53.1, "Sodium": 50.1, "Potassium": 73.5, "Ammonia": 73.5, "Alkalinity, total": 44.5,
    "Chloride": 76.4, "Sulfate": 80.0, "Nitrate": 71.4, "Nitrite": 71.8, "Fluoride": 55.4,
}  # fmt: skip
_HYDROGEN_CONDUCTANCE = 350.0
_DOUBLY_CHARGED = frozenset({"Calcium", "Magnesium", "Sulfate"})


def milliequivalents(water: Mapping[str, float], ions: Mapping[str, float]) -> float:
    """Sum of the given ions [meq/L]; concentrations in mg/L, nitrogen as N, alkalinity as CaCO3."""
    return sum(water[name] / weight for name, weight in ions.items())


def sodium_for_balance(water: Mapping[str, float]) -> float:
    """The sodium that makes cations equal anions [mg/L]."""
    others = {name: weight for name, weight in CATIONS.items() if name != "Sodium"}
    return CATIONS["Sodium"] * (milliequivalents(water, ANIONS) - milliequivalents(water, others))


def alkalinity_for_balance(water: Mapping[str, float]) -> float:
    """The alkalinity that makes anions equal cations [mg/L as CaCO3], never below nothing."""
    others = {name: weight for name, weight in ANIONS.items() if name != "Alkalinity, total"}
    return max(0.0, ANIONS["Alkalinity, total"] * (milliequivalents(water, CATIONS) - milliequivalents(water, others)))


def hardness(water: Mapping[str, float]) -> float:
    """Hardness from calcium and magnesium, Standard Methods 2340 B [mg/L as CaCO3]."""
    return 2.497 * water["Calcium"] + 4.118 * water["Magnesium"]


def specific_conductance(water: Mapping[str, float]) -> float:
    """Conductivity at 25 deg C from the ions, Standard Methods 2510 A [uS/cm]."""
    ions = {**CATIONS, **ANIONS}
    strength = sum(water[name] / weight * (2 if name in _DOUBLY_CHARGED else 1) for name, weight in ions.items()) / 2000
    at_dilution = sum(water[name] / weight * _CONDUCTANCE[name] for name, weight in ions.items())
    acid = _HYDROGEN_CONDUCTANCE * 1000 * _ten_to_minus(water["pH"])
    return (at_dilution + acid) * _activity_squared(strength)


def dissolved_solids(water: Mapping[str, float]) -> float:
    """Residue at 180 deg C: the calculated sum of Standard Methods 1030 E, and a little water that stays [mg/L]."""
    ions = ("Calcium", "Magnesium", "Sodium", "Potassium", "Chloride", "Sulfate", "Silica", "Fluoride")
    total = 0.6 * water["Alkalinity, total"] + sum(water[name] for name in ions) + 4.4266 * water["Nitrate"]
    return 1.04 * total


def _activity_squared(strength: float) -> float:
    root = math.sqrt(strength)
    return _ten_to_minus(2 * 0.5 * (root / (1 + root) - 0.3 * strength))


def _ten_to_minus(power: float) -> float:
    """Ten to minus ``power``, by operations that give the same last bit everywhere."""
    whole = int(power)
    x = (power - whole) * 2.302585092994046 / 8
    small = (1 - x / 2 + x * x / 12) / (1 + x / 2 + x * x / 12)
    for _ in range(3):
        small *= small
    return small / float(10**whole)
