"""Cells as written become cells as read: limits, dates of aliases, words, and conversion to the canonical unit."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.ingest.cells import read_cells
from pipeline.ingest.layout import Layout
from pipeline.ingest.layout_files import read_layout, shipped_layouts
from pipeline.ingest.source import decode_source
from pipeline.ingest.staging import stage
from pipeline.ingest.stored_value import to_stored
from pipeline.plant.folder import read_plant
from tests.narrow_files import GOOD_ROW, PLANT_TOML, SAMPLE_POINTS, narrow_file

Staged = list[dict[str, Any]]
Stage = Callable[..., Staged]
HEADER = [
    *GOOD_ROW,
    "sample_type",
    "purpose",
    "confirmation_of",
    "uncertainty",
    "dilution",
    "receipt_temperature_c",
    "limit_unit",
]
UNIT_OF_LIMIT = Layout.model_validate(
    shipped_layouts()["narrow.toml"].model_dump()
    | {"columns": {**shipped_layouts()["narrow.toml"].columns, "limit_unit": ("limit_unit",)}}
)
ALIASES = """sender,as_written,kind,means,effective_from,effective_to
,Site 7,point,FW,,2025-12-31
,Site 7,point,RO,2026-01-01,
,Ion 4,analyte,Chloride,,2025-12-31
,Ion 4,analyte,Sulfate,2026-01-01,
North,T.W.L.,laboratory,TWL,,
"""
LABORATORIES = "laboratory,name\nTWL,Tarnwick Water Laboratory\n"
SAMPLE_LOG = """sample,sample_point,collected,purpose,confirmation_of
S-1,FW,2026-05-01 08:15,compliance,
S-9,FW,2026-05-04 08:15,confirmation,S-1
"""


@pytest.fixture
def staged(tmp_path: Path) -> Stage:
    """Stage rows of our own layout, or of another one, with a plant of these files."""
    (tmp_path / "plant.toml").write_text(PLANT_TOML)
    (tmp_path / "sample_points.csv").write_text(SAMPLE_POINTS)
    (tmp_path / "labs.csv").write_text(LABORATORIES)
    (tmp_path / "sample_log.csv").write_text(SAMPLE_LOG)

    def of(
        *rows: dict[str, str], layout: Layout | None = None, aliases: str = "", extra: tuple[str, ...] = ()
    ) -> Staged:
        if aliases:
            (tmp_path / "aliases.csv").write_text(aliases)
        used = layout or shipped_layouts()["narrow.toml"]
        source = decode_source("may.csv", narrow_file(*rows, header=[*HEADER, *extra]))
        with duckdb.connect() as connection:
            stage(connection, read_cells(source, used).table, used, read_plant(tmp_path))
            cells: Staged = connection.sql("FROM staged_cell ORDER BY cell_id").pl().to_dicts()
        return cells

    return of


def with_limits(*limits: str) -> Layout:
    """Our own layout with reporting limits that the laboratory told the plant."""
    text = "\n".join(f"[[reporting_limits]]\n{limit}" for limit in limits)
    own = shipped_layouts()["narrow.toml"]
    known = read_layout("limits.toml", 'name="x"\nsignature=["a","b"]\n' + _columns() + text).reporting_limits
    return own.model_copy(update={"reporting_limits": known})


def _columns() -> str:
    return '[columns]\npoint="a"\nanalyte="b"\nvalue="c"\nunit="d"\ncollected="e"\n'


# Limits


def test_a_limit_is_in_the_unit_of_the_value_where_nothing_else_is_said(staged: Stage) -> None:
    (cell,) = staged({"unit": "ug/L", "detection_limit": "2", "reporting_limit": "10"})
    assert (cell["detection_limit"], cell["reporting_limit"]) == (2, 10)


def test_a_limit_in_another_unit_is_brought_to_the_unit_of_the_value(staged: Stage) -> None:
    row = {"value": "0.5", "unit": "mg/L", "reporting_limit": "100", "detection_limit": "20", "limit_unit": "ug/L"}
    (cell,) = staged(row, layout=UNIT_OF_LIMIT)
    assert (cell["reporting_limit"], cell["detection_limit"]) == (Decimal("0.1"), Decimal("0.02"))
    assert cell["limit_problem"] == ""


def test_a_non_detect_without_a_unit_takes_that_of_its_limit(staged: Stage) -> None:
    row = {"value": "ND", "unit": "", "reporting_limit": "100", "limit_unit": "ug/L"}
    (cell,) = staged(row, layout=UNIT_OF_LIMIT)
    assert (cell["value"], cell["unit"], cell["canonical_value"]) == (100, "ug/L", Decimal("0.1"))


def test_a_limit_whose_unit_does_not_fit_is_a_problem(staged: Stage) -> None:
    (cell,) = staged({"limit_unit": "mg/kg"}, layout=UNIT_OF_LIMIT)
    assert cell["reporting_limit"] is None
    assert "mg/kg" in cell["limit_problem"]


@pytest.mark.parametrize(("value", "expected"), [("ND", "0.1"), ("<MDL", "0.02"), ("<0.05", "0.05")])
def test_a_non_detect_lies_below_the_limit_that_it_names(staged: Stage, value: str, expected: str) -> None:
    (cell,) = staged({"value": value})
    assert (cell["value_kind"], cell["value"]) == ("below", Decimal(expected))


@pytest.mark.parametrize("value", ["ND", "<MDL"])
@pytest.mark.parametrize("only", ["reporting_limit", "detection_limit"])
def test_the_only_limit_there_is_serves_every_non_detect(staged: Stage, value: str, only: str) -> None:
    (cell,) = staged({"value": value, "reporting_limit": "", "detection_limit": "", only: "0.3"})
    assert cell["value"] == Decimal("0.3")


NONE_GIVEN = {"value": "ND", "detection_limit": "", "reporting_limit": ""}


def test_a_limit_that_the_file_does_not_give_is_looked_up(staged: Stage) -> None:
    layout = with_limits('analyte = "nitrate  AS n"\nvalue = "40"\nunit = "ug/L"')
    (cell,) = staged(NONE_GIVEN, layout=layout)
    assert (cell["value"], cell["unit"], cell["limit_looked_up"]) == (Decimal("0.04"), "mg/L", True)


@pytest.mark.parametrize("given", [{"reporting_limit": "0.1"}, {"detection_limit": "0.1"}, {"value": "<0.1"}])
def test_a_limit_of_the_file_is_never_replaced(staged: Stage, given: dict[str, str]) -> None:
    layout = with_limits('analyte = "Nitrate as N"\nvalue = "9"\nunit = "mg/L"')
    (cell,) = staged(NONE_GIVEN | given, layout=layout)
    assert (cell["value"], cell["limit_looked_up"]) == (Decimal("0.1"), False)


def test_a_number_needs_no_limit_looked_up(staged: Stage) -> None:
    layout = with_limits('analyte = "Nitrate as N"\nvalue = "9"\nunit = "mg/L"')
    (cell,) = staged(NONE_GIVEN | {"value": "2.1"}, layout=layout)
    assert (cell["value"], cell["reporting_limit"], cell["limit_looked_up"]) == (Decimal("2.1"), None, False)


ANY = 'analyte = "Nitrate as N"\nvalue = "1"\nunit = "mg/L"'
OF_LABORATORY = 'analyte = "Nitrate as N"\nvalue = "2"\nunit = "mg/L"\nlaboratory = "tarnwick"'
OF_METHOD = 'analyte = "Nitrate as N"\nvalue = "3"\nunit = "mg/L"\nmethod = "EPA 300.0"'
OF_BOTH = 'analyte = "Nitrate as N"\nvalue = "4"\nunit = "mg/L"\nmethod = "EPA 300.0"\nlaboratory = "Tarnwick"'


@pytest.mark.parametrize(
    ("limits", "expected"),
    [([ANY, OF_LABORATORY], 2), ([OF_METHOD, OF_LABORATORY, ANY], 3), ([OF_METHOD, OF_BOTH, OF_LABORATORY], 4)],
)
def test_the_most_particular_limit_is_taken(staged: Stage, limits: list[str], expected: int) -> None:
    for order in (limits, limits[::-1]):
        (cell,) = staged(NONE_GIVEN, layout=with_limits(*order))
        assert cell["value"] == expected


@pytest.mark.parametrize("row", [{"method": "SM 4500"}, {"laboratory": "North"}, {"analyte": "Nitrite as N"}])
def test_a_limit_of_another_method_laboratory_or_analyte_is_not_taken(staged: Stage, row: dict[str, str]) -> None:
    (cell,) = staged(NONE_GIVEN | row, layout=with_limits(OF_BOTH))
    assert (cell["value"], cell["limit_looked_up"]) == (None, False)


# Names between dates


def test_a_moved_sample_point_is_named_by_the_day_of_collection(staged: Stage) -> None:
    rows = [{"sample_point": "Site 7", "collected": day} for day in ("2025-12-31 23:59", "2026-01-01 00:00")]
    assert [cell["sample_point"] for cell in staged(*rows, aliases=ALIASES)] == ["FW", "RO"]


def test_the_day_is_the_plants_day(staged: Stage) -> None:
    # 07:59 UTC on New Year's Day is still the old year in Los Angeles, eight hours behind.
    (cell,) = staged({"sample_point": "Site 7", "collected": "2026-01-01T07:59Z"}, aliases=ALIASES)
    assert (cell["collected_on"], cell["sample_point"]) == (date(2025, 12, 31), "FW")


def test_a_code_that_changed_its_meaning_is_read_by_the_day(staged: Stage) -> None:
    rows = [{"analyte": "Ion 4", "collected": day} for day in ("2025-06-01", "2026-06-01")]
    assert [cell["analyte"] for cell in staged(*rows, aliases=ALIASES)] == ["Chloride", "Sulfate"]


def test_a_dated_name_without_a_day_is_not_guessed(staged: Stage) -> None:
    (cell,) = staged({"analyte": "Ion 4", "sample_point": "Site 7", "collected": ""}, aliases=ALIASES)
    assert (cell["analyte"], cell["sample_point"]) == (None, None)
    assert cell["analyte_problem"]


def test_undated_names_need_no_day(staged: Stage) -> None:
    (cell,) = staged({"collected": ""}, aliases=ALIASES)
    assert (cell["analyte"], cell["sample_point"]) == ("Nitrate", "FW")


def test_a_laboratory_is_named_by_the_plant(staged: Stage) -> None:
    (cell,) = staged({"laboratory": "tarnwick  water laboratory"})
    assert (cell["laboratory"], cell["laboratory_text"]) == ("TWL", "tarnwick  water laboratory")


def test_an_unknown_laboratory_keeps_its_own_name(staged: Stage) -> None:
    (cell,) = staged({"laboratory": " North  Lab "}, aliases=ALIASES)
    assert cell["laboratory"] == "North Lab"


# Words


@pytest.mark.parametrize(
    ("row", "column", "meaning"),
    [
        ({"sample_type": "quality control, field blank"}, "purpose", "quality control"),
        ({"sample_type": "quality control, field blank", "purpose": "compliance"}, "purpose", "quality control"),
        ({"sample_type": ""}, "sample_type", "sample, routine"),
        ({"sample_type": "guess"}, "sample_type", "quality control, other"),  # counts for less, never for more
        ({"purpose": ""}, "purpose", "compliance"),
        ({"purpose": "Process"}, "purpose", "process"),
        ({"purpose": "guess"}, "purpose", "special"),
        ({"purpose": "", "sample": "S-9"}, "purpose", "confirmation"),  # as in the sample log
        ({"purpose": "", "sample": "S-9"}, "confirmation_of", "S-1"),
        ({"purpose": "compliance", "sample": "S-9"}, "purpose", "compliance"),  # the file speaks for itself
        ({"confirmation_of": "S-4", "sample": "S-9"}, "confirmation_of", "S-4"),
        ({"status": ""}, "status", "final"),
        ({"status": "Rejected"}, "status", "rejected"),
        ({"status": "guess"}, "status", "preliminary"),
    ],
)
def test_a_word_is_read_and_an_unknown_one_counts_for_less(
    staged: Stage, row: dict[str, str], column: str, meaning: str
) -> None:
    (cell,) = staged(row)
    assert cell[column] == meaning
    assert ("guess" in row.values()) == ("not known" in cell["word_problem"])


# Rows, numbers, conversion


def test_a_row_that_does_not_fit_its_header_is_not_believed(staged: Stage, tmp_path: Path) -> None:
    staged({})
    used = shipped_layouts()["narrow.toml"]
    content = narrow_file().splitlines()[0] + b"\nTarnwick,L-9,S-9,FW,2026-05-04,,,Iron,,5\n"
    with duckdb.connect() as connection:
        stage(connection, read_cells(decode_source("may.csv", content), used).table, used, read_plant(tmp_path))
        found = connection.sql("SELECT value_kind, value, value_problem <> '' FROM staged_cell").fetchall()
    assert found == [("unreadable", None, True)]


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        ({"analyte": "Iron", "unit": "mg/L", "value": "0.3"}, "300"),
        ({"analyte": "Iron", "unit": "ug/L", "value": "0.3"}, "0.3"),
        ({"analyte": "Lead", "unit": "ng/L", "value": "<5"}, "0.005"),
        ({"analyte": "Temperature, water", "unit": "deg F", "value": "68"}, "20"),
        ({"analyte": "Turbidity", "unit": "FNU", "value": "2"}, None),  # kept, never turned into NTU
        ({"analyte": "Iron", "unit": "mg/kg", "value": "2"}, None),
        ({"analyte": "Nitrate", "unit": "mg/L", "value": "2"}, None),  # no basis, no canonical value
    ],
)
def test_a_value_is_brought_to_the_canonical_unit(staged: Stage, row: dict[str, str], expected: str | None) -> None:
    (cell,) = staged(row)
    assert cell["canonical_value"] == (None if expected is None else Decimal(expected))
    assert cell["convertible"] == (expected is not None)


def test_the_limit_beside_a_value_is_converted_too(staged: Stage) -> None:
    (cell,) = staged({"analyte": "Iron", "value": "0.3", "detection_limit": "0.01", "reporting_limit": "0.05"})
    assert cell["canonical_reporting_limit"] == 50
    (cell,) = staged({"analyte": "Iron", "value": "0.3", "detection_limit": "0.01", "reporting_limit": ""})
    assert cell["canonical_reporting_limit"] == 10


def test_a_number_in_another_column_is_read_or_left_out(staged: Stage) -> None:
    (cell,) = staged({"uncertainty": "0.2", "dilution": "five", "receipt_temperature_c": "4.2", "revision": "2"})
    read = [cell[name] for name in ("uncertainty", "dilution", "receipt_temperature_c", "revision")]
    assert read == [Decimal("0.2"), None, Decimal("4.2"), 2]


def test_the_same_spelling_at_two_senders_is_read_for_each(staged: Stage) -> None:
    aliases = (
        "sender,as_written,kind,means,implied_basis\nNorth,NO3,analyte,Nitrate,as NO3\nSouth,NO3,analyte,Nitrate,as N\n"
    )
    north, south = staged(
        {"laboratory": "North", "analyte": "NO3"}, {"laboratory": "South", "analyte": "NO3"}, aliases=aliases
    )
    assert (north["basis"], south["basis"]) == ("as NO3", "as N")


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("1." + 45 * "0", Decimal(1)),  # zeros that say nothing
        ("0E+60", Decimal(0)),
        ("1E+22", Decimal(10**22)),
        ("12345678901234567890123.123456789012345", Decimal("12345678901234567890123.123456789012345")),
        ("12345678901234567890123.1234567890123451", None),  # 39 digits: one more than the store keeps
        ("1E+23", None),
        ("0.0000000000000001", None),
    ],
)
def test_a_number_is_kept_exactly_or_not_at_all(staged: Stage, value: str, expected: Decimal | None) -> None:
    (cell,) = staged({"value": value})
    assert cell["value"] == expected
    assert cell["value_kind"] == ("unreadable" if expected is None else "number")


@given(st.fractions(min_value=-(10**22), max_value=10**22))
def test_a_converted_value_is_kept_to_half_of_its_last_place(value: Fraction) -> None:
    stored = to_stored(value)
    assert stored is not None
    assert abs(Fraction(stored) - value) <= Fraction(1, 2 * 10**15)


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Fraction(5, 10**16), Decimal(0)),  # half way: to the even neighbor
        (Fraction(15, 10**16), Decimal("2E-15")),
        (Fraction(10**23), None),
        (Fraction(-(10**23)), None),
    ],
)
def test_a_converted_value_at_the_edges_of_the_store(value: Fraction, expected: Decimal | None) -> None:
    assert to_stored(value) == expected


# The sender's own way of writing


def in_style(**says: object) -> Layout:
    """Our own layout for a sender who writes otherwise."""
    return Layout.model_validate(shipped_layouts()["narrow.toml"].model_dump() | says)


def test_values_and_limits_are_read_with_the_marks_of_the_sender(staged: Stage) -> None:
    layout = in_style(numbers={"decimal": ",", "thousands": "."})
    (cell,) = staged({"value": "1.204,5", "reporting_limit": "0,5", "dilution": "2,5"}, layout=layout)
    assert (cell["value"], cell["reporting_limit"]) == (Decimal("1204.5"), Decimal("0.5"))
    assert cell["dilution"] == Decimal("2.5")


def test_a_limit_that_the_layout_tells_is_no_text_of_the_sender(staged: Stage) -> None:
    known = {"analyte": "Nitrate as N", "value": "0.05", "unit": "mg/L"}
    layout = in_style(numbers={"decimal": ","}, reporting_limits=[known])
    (cell,) = staged(NONE_GIVEN, layout=layout)
    assert (cell["value"], cell["limit_problem"]) == (Decimal("0.05"), "")


def test_times_are_read_in_the_order_of_the_sender(staged: Stage) -> None:
    layout = in_style(times={"order": "day first", "first_year": 1950})
    (cell,) = staged({"collected": "4.5.26 08:15", "reported": "9.5.26"}, layout=layout)
    assert (cell["collected_on"], cell["reported_on"]) == (date(2026, 5, 4), date(2026, 5, 9))


@pytest.mark.parametrize("value", ["?", " n/A "])
def test_a_mark_for_missing_is_an_empty_cell(staged: Stage, value: str) -> None:
    layout = in_style(words={"missing": ["?", "n/a"]})
    (cell,) = staged({"value": value}, layout=layout)
    assert (cell["value_kind"], cell["value_text"]) == ("empty", value)


def test_a_mark_for_missing_beside_not_detected_is_a_non_detect(staged: Stage) -> None:
    (cell,) = staged({"value": "-", "qualifier": "U"}, layout=in_style(words={"missing": ["-"]}))
    assert (cell["value_kind"], cell["value"]) == ("below", Decimal("0.1"))
