"""Molar masses and basis factors follow from the abridged standard atomic weights.

Prohaska et al., Standard atomic weights of the elements 2021 (IUPAC Technical Report), Pure Appl. Chem. 94 (2022) 573,
table of abridged values [typed from memory, independently of the shipped table].
"""

import re
from fractions import Fraction

import pytest

from pipeline.plant.tables import Analyte, BasisFactor
from pipeline.reference import basis_factors, shipped_analytes

ABRIDGED_2021 = {
    "H": "1.0080",
    "B": "10.81",
    "C": "12.011",
    "N": "14.007",
    "O": "15.999",
    "F": "18.998",
    "Na": "22.990",
    "Mg": "24.305",
    "Si": "28.085",
    "P": "30.974",
    "S": "32.06",
    "Cl": "35.45",
    "K": "39.098",
    "Ca": "40.078",
    "Cr": "51.996",
    "Br": "79.904",
    "Sr": "87.62",
    "Ba": "137.33",
}
# Charge of the ion, or hydrogen ions that one formula neutralizes.
EQUIVALENTS = {
    "CaCO3": 2, "HCO3": 1, "CO3": 2, "OH": 1, "Ca": 2, "Mg": 2, "Na": 1, "K": 1, "Sr": 2, "Ba": 2, "N": 1, "NO3": 1,
    "Cl": 1, "SO4": 2, "F": 1, "Br": 1,
}  # fmt: skip
# Formulas on both sides of a factor that hold the same substance: one CaCO3 for two HCO3 and so on.
FORMULAS_PER_FORMULA = {
    ("CaCO3", "HCO3"): (1, 2),
    ("CaCO3", "CO3"): (1, 1),
    ("CaCO3", "OH"): (1, 2),
    ("CaCO3", "CO2"): (1, 2),
    ("P", "P2O5"): (2, 1),
    ("PO4", "P2O5"): (2, 1),
}


def molar_mass(formula: str) -> Fraction:
    """Sum of the atomic weights of a formula [g/mol]."""
    parts = re.findall(r"([A-Z][a-z]?)(\d*)", formula)
    return sum((Fraction(ABRIDGED_2021[symbol]) * int(count or 1) for symbol, count in parts), Fraction(0))


def formula_of(basis: str) -> str:
    return basis.removeprefix("as ").split(" ")[0]


def name_of(row: BasisFactor) -> str:
    return f"{row.analyte_family} {row.from_basis} {row.to_basis}"


WITH_FORMULA = [row for row in shipped_analytes() if row.formula]
BETWEEN_BASES = [
    row
    for row in basis_factors()
    if row.used_for == "conversion"
    and row.from_basis.startswith("as ")
    and "electron" not in row.to_basis
    and row.to_basis.startswith("as ")
]
EQUIVALENT_WEIGHTS = [row for row in basis_factors() if row.from_basis == "meq/L"]


@pytest.mark.parametrize("row", WITH_FORMULA, ids=lambda row: row.analyte)
def test_a_molar_mass_is_the_sum_of_its_atoms(row: Analyte) -> None:
    assert row.molar_mass_g_mol is not None
    assert Fraction(row.molar_mass_g_mol) == molar_mass(row.formula)


@pytest.mark.parametrize("row", BETWEEN_BASES, ids=name_of)
def test_a_basis_factor_is_the_ratio_of_two_molar_masses(row: BasisFactor) -> None:
    source, target = formula_of(row.from_basis), formula_of(row.to_basis)
    sources, targets = FORMULAS_PER_FORMULA.get((source, target), (1, 1))
    if (target, source) in FORMULAS_PER_FORMULA:
        targets, sources = FORMULAS_PER_FORMULA[target, source]
    assert row.factor_exact == molar_mass(target) * targets / (molar_mass(source) * sources)


@pytest.mark.parametrize("row", EQUIVALENT_WEIGHTS, ids=name_of)
def test_an_equivalent_weight_is_the_molar_mass_by_the_charge(row: BasisFactor) -> None:
    formula = formula_of(row.to_basis)
    assert row.factor_exact == molar_mass(formula) / EQUIVALENTS[formula]


@pytest.mark.parametrize(
    "row", basis_factors(), ids=lambda row: f"{row.analyte_family} {row.from_basis} {row.to_basis}"
)
def test_the_printed_factor_is_the_exact_one_to_six_digits(row: BasisFactor) -> None:
    assert float(row.factor) == pytest.approx(float(row.factor_exact), rel=5e-6)
