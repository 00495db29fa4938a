"""Conversions against published figures, and the properties that every conversion keeps."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.errors import ConversionError
from pipeline.reference import basis_factors, shipped_analytes, unit_spellings
from pipeline.units import LinearConversion, UnitTable

UNITS = UnitTable(unit_spellings(), basis_factors(), shipped_analytes())
ANALYTES = {analyte.analyte: analyte for analyte in shipped_analytes()}


def convert(value: str, analyte: str, source: tuple[str, str], target: tuple[str, str]) -> Fraction:
    return UNITS.convert(
        Fraction(value),
        analyte=analyte,
        from_unit=source[0],
        from_basis=source[1],
        to_unit=target[0],
        to_basis=target[1],
    )


# WHO, Guidelines for Drinking-water Quality, 4th ed. (2011, with addenda), nitrate and nitrite: 50 mg/L as nitrate is
# 11.3 mg/L as nitrogen, 3 mg/L as nitrite is 0.9 mg/L as nitrogen [figures from memory].
@pytest.mark.parametrize(
    ("analyte", "as_ion", "mg_per_l", "as_nitrogen", "tolerance"),
    [("Nitrate", "as NO3", "50", 11.3, 0.05), ("Nitrite", "as NO2", "3", 0.9, 0.05)],
)
def test_the_world_health_organization_guideline_values_agree_on_both_bases(
    analyte: str, as_ion: str, mg_per_l: str, as_nitrogen: float, tolerance: float
) -> None:
    converted = convert(mg_per_l, analyte, ("mg/L", as_ion), ("mg/L", "as N"))
    assert float(converted) == pytest.approx(as_nitrogen, abs=tolerance)


# 10 mg/L is the limit of 40 CFR 141.62(b)(7), as N; 44.27 with the IUPAC abridged atomic weights of 2021.
def test_the_federal_nitrate_limit_is_44_27_mg_per_l_as_nitrate() -> None:
    assert round(float(convert("10", "Nitrate", ("mg/L", "as N"), ("mg/L", "as NO3"))), 2) == 44.27


# One curie is 3.7e10 becquerel by definition (BIPM, The International System of Units, 8th ed., table 8, note).
@pytest.mark.parametrize(("pci_per_l", "bq_per_l"), [("15", "0.555"), ("20000", "740")])
def test_picocuries_become_becquerels_exactly(pci_per_l: str, bq_per_l: str) -> None:
    assert convert(pci_per_l, "Gross alpha", ("pCi/L", ""), ("Bq/L", "")) == Fraction(bq_per_l)


# Hem, Study and Interpretation of the Chemical Characteristics of Natural Water, 3rd ed., USGS Water-Supply Paper 2254
# (1985), table 9: factors from mg/L to meq/L [from memory; older atomic weights, hence the tolerance of 1 in 2000].
@pytest.mark.parametrize(
    ("analyte", "basis", "meq_per_mg"),
    [
        ("Bicarbonate", "as HCO3", 0.01639),
        ("Bromide", "as Br", 0.01251),
        ("Calcium", "as Ca", 0.04990),
        ("Carbonate", "as CO3", 0.03333),
        ("Chloride", "as Cl", 0.02821),
        ("Fluoride", "as F", 0.05264),
        ("Magnesium", "as Mg", 0.08229),
        ("Nitrate", "as NO3", 0.01613),
        ("Potassium", "as K", 0.02557),
        ("Sodium", "as Na", 0.04350),
        ("Sulfate", "as SO4", 0.02082),
    ],
)
def test_equivalents_agree_with_the_handbook_of_hem(analyte: str, basis: str, meq_per_mg: float) -> None:
    assert float(convert("1", analyte, ("mg/L", basis), ("meq/L", ""))) == pytest.approx(meq_per_mg, rel=5e-4)


# Standard Methods for the Examination of Water and Wastewater, 23rd ed., 2340 B: hardness = 2.497 Ca + 4.118 Mg;
# 2320 B: alkalinity in mg CaCO3/L is 50,000 A N / mL sample, thus 50 mg a meq [from memory].
@pytest.mark.parametrize(
    ("analyte", "source", "published", "digits"),
    [
        ("Calcium", ("mg/L", "as Ca"), 2.497, 3),
        ("Magnesium", ("mg/L", "as Mg"), 4.118, 3),
        ("Alkalinity, total", ("meq/L", ""), 50.0, 1),
    ],
)
def test_hardness_and_alkalinity_agree_with_standard_methods(
    analyte: str, source: tuple[str, str], published: float, digits: int
) -> None:
    assert round(float(convert("1", analyte, source, ("mg/L", "as CaCO3"))), digits) == published


# DIN 38409-6 and common practice: one German degree is 10 mg/L CaO or 17.8 mg/L CaCO3, one grain per US gallon is
# 17.1 mg/L CaCO3, one French degree 10 mg/L CaCO3 [from memory].
@pytest.mark.parametrize(("unit", "mg_per_l"), [("°dH", 17.8), ("gpg", 17.1), ("°fH", 10.0)])
def test_degrees_of_hardness_come_as_calcium_carbonate(unit: str, mg_per_l: float) -> None:
    assert round(float(convert("1", "Hardness, total", (unit, ""), ("mg/L", "as CaCO3"))), 1) == mg_per_l


def test_a_temperature_difference_of_scale_has_its_offset() -> None:
    assert convert("42.8", "Temperature, water", ("deg F", ""), ("deg C", "")) == 6


def test_one_millimole_of_nitrate_is_one_milliequivalent() -> None:
    assert convert("1", "Nitrate", ("mmol/L", ""), ("meq/L", "")) == 1


def test_a_mole_of_alkalinity_is_not_converted_because_practices_differ_by_a_factor_of_two() -> None:
    with pytest.raises(ConversionError, match="no factor"):
        convert("1", "Alkalinity, total", ("mmol/L", ""), ("mg/L", "as CaCO3"))


@pytest.mark.parametrize("text", ["ug/L", "UG/L", "ug/l", " ug/L ", "\u00b5g/L", "\u03bcg/L"])
def test_a_microgram_per_liter_is_recognized_however_it_is_written(text: str) -> None:
    assert UNITS.resolve(text).unit == "ug/L"


@pytest.mark.parametrize(("text", "unit"), [("mm", "mm"), ("mM", "mmol/L"), ("um", "um"), ("uM", "umol/L"), ("m", "m")])
def test_case_decides_where_it_must(text: str, unit: str) -> None:
    assert UNITS.resolve(text).unit == unit


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("mg/furlong", "not known"),
        ("ppt", "parts per trillion"),
        ("MM", "upper and lower case decide"),
        ("M", "molar or normal"),
        ("mg/1", "misread"),
        ("MPN", "without the volume"),
    ],
)
def test_a_unit_that_cannot_be_trusted_says_why(text: str, reason: str) -> None:
    match = UNITS.resolve(text)
    assert match.unit is None
    assert reason in match.problem


def test_parts_per_million_are_milligrams_per_liter_in_water_only() -> None:
    assert UNITS.resolve("ppm").unit == "mg/L"
    assert UNITS.resolve("ppm", matrix="gas").unit is None


def test_a_unit_may_state_the_basis() -> None:
    match = UNITS.resolve("mg/L as N")
    assert (match.unit, match.implied_basis) == ("mg/L", "as N")


@pytest.mark.parametrize(
    ("written", "basis"), [("as N", "as N"), ("N", "as N"), ("AS NO3", "as NO3"), ("CaCO3", "as CaCO3"), ("", "")]
)
def test_a_written_basis_is_recognized(written: str, basis: str) -> None:
    assert UNITS.resolve_basis(written) == basis


def test_an_unknown_basis_is_not_guessed() -> None:
    assert UNITS.resolve_basis("as moonshine") is None


@pytest.mark.parametrize("analyte", ["Nitrate", "Nitrite", "Ammonia", "Orthophosphate", "Silica"])
def test_a_nutrient_without_its_basis_is_never_converted(analyte: str) -> None:
    with pytest.raises(ConversionError, match=r"basis of .* is not stated"):
        UNITS.conversion(analyte, "mg/L", "", "ug/L", ANALYTES[analyte].canonical_basis)


def test_a_basis_of_the_unit_and_another_of_the_column_contradict_each_other() -> None:
    with pytest.raises(ConversionError, match="one is wrong"):
        convert("1", "Nitrate", ("mg/L as N", "as NO3"), ("mg/L", "as N"))


# Cyanide in mg/L as HCN needs a factor; MPN and CFU, NTU and FNU, conductivity at two temperatures, and uranium by mass
# and by activity are different measurements (common practice; 40 CFR 141.66 note on uranium for the last).
@pytest.mark.parametrize(
    ("analyte", "source", "target"),
    [
        ("E. coli", "CFU/100 mL", "MPN/100 mL"),
        ("Turbidity", "FNU", "NTU"),
        ("Specific conductance", "uS/cm @20C", "uS/cm"),
        ("Uranium", "pCi/L", "ug/L"),
        ("Cryptosporidium", "%", "oocysts/L"),
        ("Atrazine", "mmol/L", "ug/L"),
    ],
)
def test_quantities_that_only_look_alike_are_never_converted(analyte: str, source: str, target: str) -> None:
    with pytest.raises(ConversionError):
        UNITS.conversion(analyte, source, "", target, "")


def test_a_basis_that_the_analyte_does_not_know_is_named() -> None:
    with pytest.raises(ConversionError, match="Atrazine is not known on a basis, and is stated as N"):
        convert("1", "Atrazine", ("mg/L", "as N"), ("ug/L", ""))


def test_a_remembered_conversion_is_the_same_object() -> None:
    first = UNITS.conversion("Lead", "mg/L", "", "ug/L", "")
    assert first == LinearConversion(Fraction(1000))
    assert UNITS.conversion("Lead", "mg/L", "", "ug/L", "") is first


EXACT = st.fractions(min_value=-(10**9), max_value=10**9, max_denominator=10**9)


def _pairs() -> list[tuple[str, str, str, str, str]]:
    """Analyte, and two unit and basis pairs between which a conversion exists."""
    pairs = [
        (name, "mg/L", row.from_basis, "ug/L", row.to_basis)
        for row in basis_factors()
        for name in row.analytes
        if row.used_for == "conversion"
        and row.from_basis.startswith("as ")
        and row.to_basis.startswith("as ")
        and "electron" not in row.to_basis
    ]
    by_dimension: dict[str, list[str]] = {}
    for row in unit_spellings():
        if not row.ambiguous and not row.implied_basis:
            by_dimension.setdefault(row.dimension, []).append(row.canonical_unit)
    pairs += [("", units[0], "", unit, "") for units in by_dimension.values() for unit in dict.fromkeys(units)]
    return pairs


@given(value=EXACT, pair=st.sampled_from(_pairs()))
def test_there_and_back_is_the_same_number_exactly(value: Fraction, pair: tuple[str, str, str, str, str]) -> None:
    analyte, unit, basis, other_unit, other_basis = pair
    there = UNITS.conversion(analyte, unit, basis, other_unit, other_basis)
    back = UNITS.conversion(analyte, other_unit, other_basis, unit, basis)
    assert back.apply(there.apply(value)) == value


@given(value=EXACT, low=EXACT)
def test_a_conversion_keeps_the_order_of_two_values(value: Fraction, low: Fraction) -> None:
    conversion = UNITS.conversion("Nitrate", "mg/L", "as NO3", "ug/L", "as N")
    assert (value < low) == (conversion.apply(value) < conversion.apply(low))


@given(text=st.sampled_from(UNITS.spellings), blanks=st.text(alphabet=" \t", max_size=3))
def test_blanks_around_a_unit_change_nothing(text: str, blanks: str) -> None:
    assert UNITS.resolve(f"{blanks}{text}{blanks}").unit == UNITS.resolve(text).unit
