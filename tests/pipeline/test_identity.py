"""What a cell is about, by its texts, the plant's aliases and the shipped names."""

from fractions import Fraction
from pathlib import Path

import pytest

from pipeline.ingest.identity import Identity, UnitRule, WrittenIdentity, identify
from pipeline.plant.folder import read_plant
from pipeline.plant.plant import Plant
from tests.narrow_files import PLANT_TOML, SAMPLE_POINTS

ALIASES = """sender,as_written,kind,means,implied_basis,implied_fraction,effective_from,effective_to
North Lab,NO3,analyte,Nitrate,as NO3,,,
,NO3,analyte,Nitrate,as N,,,
,Chlorine,analyte,Free chlorine,,,,
,Weather,set aside,not a measurement,,,,
North Lab,units,unit,ug/L,,,,
,Site 7 metal,analyte,Iron,,,,2025-12-31
,Site 7 metal,analyte,Manganese,,,2026-01-01,
"""
# Atomic weights, IUPAC 2021 abridged [memory]: N 14.007, O 15.999.
AS_N_OF_NO3 = Fraction("14.007") / (Fraction("14.007") + 3 * Fraction("15.999"))


@pytest.fixture(scope="module")
def aliased(tmp_path_factory: pytest.TempPathFactory) -> Plant:
    """A plant with aliases for one sender, for all, and between dates."""
    folder: Path = tmp_path_factory.mktemp("plant")
    (folder / "plant.toml").write_text(PLANT_TOML)
    (folder / "sample_points.csv").write_text(SAMPLE_POINTS)
    (folder / "aliases.csv").write_text(ALIASES)
    return read_plant(folder)


def of(plant: Plant, scope: str = "", **texts: object) -> Identity:
    """The identity of iron in mg/L, changed as ``texts`` say."""
    plain: dict[str, object] = {
        "sender": "Tarnwick", "named_on": "", "analyte": "Iron", "cas_number": "", "fraction": "", "basis": "",
        "unit": "mg/L", "limit_unit": "", "unit_rule": UnitRule.OWN,
    }  # fmt: skip
    return identify(WrittenIdentity(**{**plain, **texts}), plant, scope)  # type: ignore[arg-type]


def test_a_plain_name_and_unit_are_all_that_is_needed(aliased: Plant) -> None:
    iron = of(aliased)
    assert (iron.analyte, iron.unit, iron.analyte_problem, iron.unit_problem, iron.basis_problem) == (
        "Iron", "mg/L", "", "", "",
    )  # fmt: skip
    assert iron.to_canonical is not None
    assert iron.to_canonical.apply(Fraction(1)) == 1000  # canonical is ug/L


# Names as EPA and USGS print them without a basis: 40 CFR 136.3 Table IB and WQX characteristic names.
@pytest.mark.parametrize(
    "name", ["Nitrate", "Nitrite", "Ammonia", "Orthophosphate", "Silica", "Inorganic nitrogen (nitrate and nitrite)"]
)
def test_a_missing_basis_is_never_assumed(aliased: Plant, name: str) -> None:
    bare = of(aliased, "USGS NWIS", analyte=name)
    assert bare.analyte
    assert bare.basis == ""
    assert "without a basis" in bare.basis_problem


@pytest.mark.parametrize(
    "texts",
    [
        {"analyte": "Nitrate as N"},
        {"analyte": "Nitrate (as N)"},  # 40 CFR 141.62(b) prints it so
        {"analyte": "Nitrate, water, filtered, milligrams per liter as nitrogen"},  # USGS parameter code 00618
        {"analyte": "Nitrate", "basis": "as N"},
        {"analyte": "Nitrate", "basis": "N"},
        {"analyte": "Nitrate", "unit": "mg/L as N"},
        {"analyte": "Nitrate", "unit": "mg/l as N"},  # USGS spelling
        {"analyte": "Nitrate as N", "basis": "as N", "unit": "mg/L as N"},  # three times the same
    ],
)
def test_a_basis_may_be_said_by_name_column_or_unit(aliased: Plant, texts: dict[str, object]) -> None:
    nitrate = of(aliased, "USGS NWIS", **texts)
    assert (nitrate.analyte, nitrate.basis, nitrate.basis_problem) == ("Nitrate", "as N", "")
    assert nitrate.to_canonical is not None
    assert nitrate.to_canonical.apply(Fraction(7)) == 7


@pytest.mark.parametrize(
    "texts",
    [
        {"analyte": "Nitrate as N", "basis": "as NO3"},
        {"analyte": "Nitrate", "basis": "as N", "unit": "mg/L as NO3"},
        {"analyte": "Nitrate as NO3", "unit": "mg/L as N"},
    ],
)
def test_a_basis_said_in_two_ways_is_a_problem(aliased: Plant, texts: dict[str, object]) -> None:
    nitrate = of(aliased, **texts)
    assert nitrate.basis == ""
    assert nitrate.basis_problem == "the basis is said in two ways: as N and as NO3."
    assert nitrate.to_canonical is None


def test_a_basis_nobody_knows_does_not_convert(aliased: Plant) -> None:
    nitrate = of(aliased, analyte="Nitrate", basis="as sum")
    assert (nitrate.basis, nitrate.to_canonical) == ("as sum", None)


def test_an_equivalent_needs_no_basis(aliased: Plant) -> None:
    nitrate = of(aliased, analyte="Nitrate", unit="meq/L")
    assert nitrate.basis_problem == ""
    assert nitrate.to_canonical is not None
    assert nitrate.to_canonical.apply(Fraction(1)) == Fraction("14.007")  # one charge: a milliequivalent is a millimole


def test_the_ion_is_brought_to_its_nitrogen(aliased: Plant) -> None:
    nitrate = of(aliased, analyte="Nitrate", basis="as NO3")
    assert nitrate.to_canonical is not None
    assert nitrate.to_canonical.apply(Fraction(1)) == AS_N_OF_NO3


def test_a_word_needs_neither_unit_nor_basis(aliased: Plant) -> None:
    word = of(aliased, analyte="Nitrate", unit="", unit_rule=UnitRule.NONE)
    assert (word.unit_problem, word.basis_problem) == ("", "")


def test_a_number_never_borrows_the_unit_of_its_limit(aliased: Plant) -> None:
    assert "missing" in of(aliased, unit="", limit_unit="ug/L").unit_problem


def test_ph_is_a_pure_number(aliased: Plant) -> None:
    ph = of(aliased, analyte="pH", unit="None")
    assert ph.to_canonical is not None
    assert ph.to_canonical.apply(Fraction(7)) == 7


def test_a_number_without_a_unit_has_a_problem(aliased: Plant) -> None:
    assert "missing" in of(aliased, unit=" ").unit_problem


def test_the_unit_of_the_limit_speaks_where_the_value_has_none(aliased: Plant) -> None:
    iron = of(aliased, unit="", limit_unit="ug/L", unit_rule=UnitRule.OF_ITS_LIMIT)
    assert (iron.unit, iron.unit_problem, iron.limit_problem) == ("ug/L", "", "")
    assert iron.limit_to_unit is not None
    assert iron.limit_to_unit.apply(Fraction(5)) == 5


def test_a_limit_in_another_unit_is_brought_to_the_unit_of_the_value(aliased: Plant) -> None:
    iron = of(aliased, limit_unit="ug/L")
    assert iron.limit_to_unit is not None
    assert iron.limit_to_unit.apply(Fraction(5)) == Fraction(5, 1000)


def test_a_limit_on_another_basis_is_brought_to_the_basis_of_the_value(aliased: Plant) -> None:
    nitrate = of(aliased, analyte="Nitrate as N", limit_unit="mg/L as NO3")
    assert nitrate.limit_to_unit is not None
    assert nitrate.limit_to_unit.apply(Fraction(1)) == AS_N_OF_NO3


@pytest.mark.parametrize("limit_unit", ["mg/kg", "furlongs", "ppt"])
def test_a_limit_whose_unit_does_not_fit_is_a_problem(aliased: Plant, limit_unit: str) -> None:
    iron = of(aliased, limit_unit=limit_unit)
    assert iron.limit_to_unit is None
    assert f'"{limit_unit}"' in iron.limit_problem


def test_a_unit_of_another_kind_does_not_convert(aliased: Plant) -> None:
    sludge = of(aliased, unit="mg/kg")
    assert (sludge.unit, sludge.to_canonical) == ("mg/kg", None)


def test_a_temperature_is_brought_over_with_its_offset(aliased: Plant) -> None:
    warm = of(aliased, analyte="Temperature, water", unit="deg F")
    assert warm.to_canonical is not None
    assert abs(warm.to_canonical.apply(Fraction(212)) - 100) < Fraction(1, 10**9)


def test_a_fraction_is_dropped_where_it_means_nothing(aliased: Plant) -> None:
    bacteria = of(aliased, analyte="Escherichia coli", fraction="Filterable", unit="MPN/100mL")
    assert (bacteria.analyte, bacteria.fraction) == ("E. coli", "")


@pytest.mark.parametrize(
    ("analyte", "fraction", "expected"),
    [("Iron", "Filtered, field", "dissolved"), ("Iron, dissolved", "", "dissolved"), ("Iron", "Total", "total")],
)
def test_a_fraction_is_said_by_its_column_or_the_name(
    aliased: Plant, analyte: str, fraction: str, expected: str
) -> None:
    assert of(aliased, analyte=analyte, fraction=fraction).fraction == expected


def test_a_fraction_may_decide_the_analyte(aliased: Plant) -> None:
    dissolved = of(aliased, analyte="Organic carbon", fraction="Dissolved")
    assert dissolved.analyte == "Dissolved organic carbon"
    assert of(aliased, analyte="Organic carbon").analyte is None


def test_a_senders_own_alias_comes_first(aliased: Plant) -> None:
    assert of(aliased, analyte="NO3", sender="North Lab").basis == "as NO3"


def test_the_plants_alias_comes_before_the_shipped_name(aliased: Plant, plant: Plant) -> None:
    assert of(plant, analyte="NO3").basis_problem  # as shipped: nobody says which
    assert (of(aliased, analyte="NO3").basis, of(aliased, analyte="NO3").basis_problem) == ("as N", "")


def test_only_the_plant_can_resolve_a_name_with_two_meanings(aliased: Plant, plant: Plant) -> None:
    assert of(plant, analyte="Chlorine").analyte is None
    assert "Chlorine" in of(plant, analyte="Chlorine").analyte_problem
    assert of(aliased, analyte="Chlorine").analyte == "Free chlorine"


def test_a_senders_own_unit_is_its_own(aliased: Plant) -> None:
    assert of(aliased, unit="units", sender="North Lab").unit == "ug/L"
    assert of(aliased, unit="units").unit is None


def test_what_is_set_aside_has_no_problems(aliased: Plant) -> None:
    assert of(aliased, analyte="weather", unit="", basis="as sum") == Identity(set_aside="not a measurement")


@pytest.mark.parametrize(("day", "analyte"), [("2025-12-31", "Iron"), ("2026-01-01", "Manganese")])
def test_the_day_of_collection_decides_a_dated_alias(aliased: Plant, day: str, analyte: str) -> None:
    assert of(aliased, analyte="Site 7 metal", named_on=day).analyte == analyte


def test_a_dated_alias_without_a_day_is_a_problem(aliased: Plant) -> None:
    undated = of(aliased, analyte="Site 7 metal")
    assert undated.analyte is None
    assert undated.analyte_problem


def test_a_cas_number_of_another_substance_is_a_problem(aliased: Plant) -> None:
    assert of(aliased, cas_number="7439-89-6").analyte_problem == ""  # iron
    assert "7439-96-5" in of(aliased, cas_number="7439-96-5").analyte_problem  # manganese
