"""What a written name means, and which names are never guessed."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.plant.folder import read_plant
from pipeline.plant.names import Names, fraction_words, valid_cas_number
from pipeline.plant.plant import Plant
from pipeline.plant.shipped_names import ShippedNames
from pipeline.plant.tables import ShippedAlias
from pipeline.reference import basis_factors, shipped_aliases, shipped_analytes, unit_spellings
from pipeline.units import UnitTable

ANALYTES = {row.analyte: row for row in shipped_analytes()}
SHIPPED = Names(
    aliases=(),
    shipped=ShippedNames(shipped_aliases()),
    analytes=ANALYTES,
    sample_points={},
    laboratories={},
    units=UnitTable(unit_spellings(), basis_factors(), shipped_analytes()),
)
HEADER = "sender,as_written,kind,means,implied_basis,implied_fraction,when,still_needs,effective_from,effective_to\n"

Write = Callable[..., Path]


def with_aliases(write_folder: Write, *rows: str) -> Names:
    return read_plant(write_folder(**{"aliases.csv": HEADER + "\n".join(rows) + "\n"})).names


@pytest.mark.parametrize(
    ("written", "analyte"),
    [
        ("Arsenic", "Arsenic"),
        ("  ARSENIC ", "Arsenic"),
        ("Total   Coliform", "Total coliform"),
        ("PCE", "Tetrachloroethylene"),
        ("MTBE", "Methyl tert-butyl ether"),
        ("Pb", "Lead"),
        ("Sn", "Tin"),
    ],
)
def test_a_name_of_the_trade_is_recognized(written: str, analyte: str) -> None:
    match = SHIPPED.analyte(written)
    assert (match.analyte, match.problem) == (analyte, "")


# Each of these is read in two ways by two people; the reasons are in the stop list (common practice, no source).
@pytest.mark.parametrize("written", ["Cyanide", "Chlorine", "TIN", "tin", "TC", "EC", "U", "B", "Nitrogen", "TCA"])
def test_a_name_that_two_people_read_differently_is_not_resolved(written: str) -> None:
    match = SHIPPED.analyte(written)
    assert match.analyte is None
    assert "does not say which analyte it is" in match.problem


def test_an_unknown_name_is_a_problem() -> None:
    match = SHIPPED.analyte("Nitratte")
    assert (match.analyte, match.problem) == (None, "The analyte 'Nitratte' is not known.")


def test_an_empty_name_is_a_problem_of_its_own() -> None:
    assert "missing" in SHIPPED.analyte("  ").problem


@pytest.mark.parametrize("written", ["Nitrate", "NO3", "Silica", "Alkalinity", "Ammonia"])
def test_a_name_without_its_basis_keeps_the_analyte_and_asks_for_the_basis(written: str) -> None:
    match = SHIPPED.analyte(written)
    assert match.analyte is not None
    assert (match.still_needs, match.problem) == ("basis", "")


def test_a_name_may_state_its_basis() -> None:
    match = SHIPPED.analyte("Nitrate as N")
    assert (match.analyte, match.implied_basis, match.still_needs) == ("Nitrate", "as N", "")


@pytest.mark.parametrize(
    ("fraction", "analyte"),
    [
        ("dissolved", "Dissolved organic carbon"),
        ("total", "Total organic carbon"),
        ("total recoverable", "Total organic carbon"),
        ("", None),
    ],
)
def test_organic_carbon_is_decided_by_its_fraction(fraction: str, analyte: str | None) -> None:
    assert SHIPPED.analyte("Organic carbon", fraction=fraction).analyte == analyte


def test_oxygen_in_percent_is_the_saturation() -> None:
    assert SHIPPED.analyte("Oxygen", dimension="percent").analyte == "Dissolved oxygen saturation"
    assert SHIPPED.analyte("Oxygen", dimension="mass per volume").analyte == "Dissolved oxygen"


def test_a_scope_is_asked_only_by_the_layout_that_names_it() -> None:
    assert SHIPPED.analyte("00618", scope="USGS NWIS parameter code").analyte == "Nitrate"
    assert SHIPPED.analyte("00618").analyte is None


def test_a_scope_resolves_what_the_stop_list_holds() -> None:
    names = Names(
        aliases=(),
        shipped=ShippedNames(
            [
                ShippedAlias(scope="do not resolve", as_written="Cl", note="chloride or chlorine"),
                ShippedAlias(scope="our analyzer", as_written="Cl", means="Chlorine dioxide"),
            ]
        ),
        analytes=ANALYTES,
        sample_points={},
        laboratories={},
        units=UnitTable((), (), ()),
    )
    assert names.analyte("Cl").analyte is None
    assert names.analyte("Cl", scope="our analyzer").analyte == "Chlorine dioxide"


def test_the_alias_of_the_sender_comes_before_that_of_the_plant(write_folder: Write) -> None:
    names = with_aliases(
        write_folder, ",NOX,analyte,Nitrate + nitrite,as N,,,,,", "Lab A,NOX,analyte,Nitrite,as N,,,,,"
    )
    assert names.analyte("nox", sender="LAB A").analyte == "Nitrite"
    assert names.analyte("nox", sender="Lab B").analyte == "Nitrate + nitrite"


def test_the_plant_resolves_what_the_stop_list_holds(write_folder: Write) -> None:
    names = with_aliases(write_folder, ',Cyanide,analyte,"Cyanide, free",,,,,,')
    assert names.analyte("cyanide").analyte == "Cyanide, free"


def test_the_plant_may_give_a_basis_once_for_a_sender(write_folder: Write) -> None:
    names = with_aliases(write_folder, "Lab A,Nitrate,analyte,Nitrate,as NO3,,,,,")
    assert names.analyte("Nitrate", sender="Lab A").implied_basis == "as NO3"
    assert names.analyte("Nitrate", sender="Lab B").still_needs == "basis"


def test_an_alias_of_the_plant_without_a_basis_still_asks_for_it(write_folder: Write) -> None:
    names = with_aliases(write_folder, "Lab A,N-NO3,analyte,Nitrate,,,,,,")
    assert names.analyte("N-NO3", sender="Lab A").still_needs == "basis"


def test_an_alias_holds_between_its_dates(write_folder: Write) -> None:
    names = with_aliases(
        write_folder,
        "Lab A,P,analyte,Orthophosphate,as P,,,,,2024-12-31",
        'Lab A,P,analyte,"Phosphorus, total",as P,,,,2025-01-01,',
    )
    assert names.analyte("P", sender="Lab A", on=date(2024, 12, 31)).analyte == "Orthophosphate"
    assert names.analyte("P", sender="Lab A", on=date(2025, 1, 1)).analyte == "Phosphorus, total"
    assert "depends on the date" in names.analyte("P", sender="Lab A").problem
    assert names.has_dated_aliases
    assert not SHIPPED.has_dated_aliases


def test_an_alias_that_has_ended_gives_way_to_the_wider_lists(write_folder: Write) -> None:
    names = with_aliases(write_folder, "Lab A,Lead,analyte,Copper,,,,,,2020-12-31")
    assert names.analyte("Lead", sender="Lab A", on=date(2021, 1, 1)).analyte == "Lead"


def test_a_name_may_be_set_aside_with_a_reason(write_folder: Write) -> None:
    names = with_aliases(write_folder, ",Bottle deposit,set aside,not a measurement,,,,,,")
    match = names.analyte("bottle deposit")
    assert (match.analyte, match.set_aside, match.problem) == (None, "not a measurement", "")


def test_points_laboratories_and_units_have_aliases_too(write_folder: Write) -> None:
    names = with_aliases(
        write_folder,
        "Lab A,Tap 7,point,FIN,,,,,,",
        ",OL,laboratory,LAB,,,,,,",
        "Lab A,ppt,unit,ng/L,,,,,,",
    )
    assert names.point("tap 7", "Lab A") == "FIN"
    assert names.point("tap 7", "Lab B") is None
    assert names.laboratory("ol") == "LAB"
    assert names.unit(" ppt ", "Lab A").unit == "ng/L"
    assert names.unit("ppt", "Lab B").unit is None


def test_the_alias_of_a_unit_keeps_its_case(write_folder: Write) -> None:
    names = with_aliases(write_folder, "Lab A,Mm,unit,mmol/L,,,,,,")
    assert names.unit("Mm", "Lab A").unit == "mmol/L"
    assert names.unit("mm", "Lab A").unit == "mm"


def test_the_scopes_that_a_layout_may_state_are_known() -> None:
    assert SHIPPED.scopes == {"USGS NWIS", "USGS NWIS parameter code"}


def test_names_of_points_and_units_hold_between_their_dates_too(write_folder: Write) -> None:
    names = with_aliases(
        write_folder,
        "Lab A,Tap,point,INF,,,,,,2024-12-31",
        "Lab A,Tap,point,FIN,,,,,2025-01-01,",
        "Lab A,ppt,unit,ng/L,,,,,2025-01-01,",
    )
    assert names.point("tap", "Lab A", date(2024, 12, 31)) == "INF"
    assert names.point("tap", "Lab A", date(2025, 1, 1)) == "FIN"
    assert names.point("tap", "Lab A") is None
    assert names.unit("ppt", "Lab A", on=date(2025, 1, 1)).unit == "ng/L"
    assert "ambiguous" in names.unit("ppt", "Lab A", on=date(2024, 1, 1)).problem
    assert "depends on the date" in names.unit("ppt", "Lab A").problem


def test_points_and_laboratories_are_known_by_identifier_and_by_name(plant: Plant) -> None:
    assert plant.names.point("fin") == plant.names.point(" Finished  WATER ") == "FIN"
    assert plant.names.laboratory("our laboratory") == "LAB"
    assert plant.names.point("") is None


def test_a_plant_with_fewer_analytes_says_that_one_is_not_in_its_table(write_folder: Write) -> None:
    table = "analyte,canonical_unit\nLead,ug/L\n"
    names = read_plant(write_folder(**{"analytes.csv": table, "aliases.csv": None, "holding_times.csv": TIMES})).names
    assert "not in the plant's analytes.csv" in names.analyte("PCE").problem


TIMES = "holding_time_id,programme,written_for,analytes,stage,max_value,max_unit\n"


@pytest.mark.parametrize(
    ("written", "fraction"),
    [
        ("Total", "total"),
        ("Unfiltered, field", "total"),
        ("T", "total"),
        ("Total Recoverable", "total recoverable"),
        ("unfiltered, recoverable", "total recoverable"),
        ("Dissolved", "dissolved"),
        ("Filtered field and/or lab", "dissolved"),
        ("D", "dissolved"),
        ("Suspended", ""),
        ("", ""),
    ],
)
def test_a_written_fraction_is_recognized(written: str, fraction: str) -> None:
    assert fraction_words(written) == fraction


# 7732-18-5 is water: the example that CAS gives for its check digit.
@pytest.mark.parametrize("number", ["7732-18-5", "58-08-2", "1763-23-1"])
def test_a_cas_number_with_its_check_digit_is_valid(number: str) -> None:
    assert valid_cas_number(number)


@pytest.mark.parametrize("number", ["7732-18-4", "7732-81-5", "5/8/2008", "2058-08-02", "7732-18", "", "abc-de-f"])
def test_a_spoiled_cas_number_is_not_valid(number: str) -> None:
    assert not valid_cas_number(number)


def test_a_cas_number_of_another_analyte_is_a_problem() -> None:
    problem = SHIPPED.cas_problem("7440-38-2", ANALYTES["Lead"])
    assert "not that of Lead" in problem
    assert "Arsenic" in problem


@pytest.mark.parametrize("number", ["7439-92-1", " 07439-92-1", ""])
def test_the_right_cas_number_or_none_is_no_problem(number: str) -> None:
    assert SHIPPED.cas_problem(number, ANALYTES["Lead"]) == ""


def test_forms_of_cyanide_share_one_cas_number() -> None:
    assert SHIPPED.cas_problem("57-12-5", ANALYTES["Cyanide, total"]) == ""
    assert SHIPPED.cas_problem("57-12-5", ANALYTES["Cyanide, free"]) == ""


def test_a_basis_is_spelled_as_the_table_does_or_stays_as_written() -> None:
    assert SHIPPED.basis_words("no3") == "as NO3"
    assert SHIPPED.basis_words("as  cheese") == "as cheese"


WIDE = [alias.as_written for alias in shipped_aliases() if alias.scope == "any sender"]


@given(written=st.sampled_from(WIDE), upper=st.booleans(), blanks=st.text(alphabet=" \t\u00a0", max_size=3))
def test_case_and_blanks_never_change_what_a_name_means(written: str, upper: bool, blanks: str) -> None:
    changed = blanks + (written.upper() if upper else written.lower()).replace(" ", "  ") + blanks
    assert SHIPPED.analyte(changed).analyte == SHIPPED.analyte(written).analyte


@given(written=st.text(max_size=30))
def test_any_text_is_resolved_or_has_a_problem(written: str) -> None:
    match = SHIPPED.analyte(written)
    assert (match.analyte is None) == bool(match.problem)
