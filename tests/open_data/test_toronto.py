"""Lead at taps, in a unit that stands in the heading only, against the csv module.

Source: City of Toronto, Non Regulated Lead Sample, 2014 to 2024, 12,810 bottles.
"""

from decimal import Decimal
from pathlib import Path

from tests.open_data.conftest import TORONTO
from tests.open_data.delivery import FIRST, Delivery, cells_of, rows_of

NUMBER, DAY, PLACE, LEAD = "Sample.Number", "Sample.Date", "PartialPostalCode", "Lead.Amount..ppm."


def test_every_cell_of_the_file_is_there_once_in_its_place(open_data: Path) -> None:
    rows, cells = rows_of(open_data / TORONTO), cells_of("toronto", open_data / TORONTO)
    assert len(rows) == 12_810
    expected = [(row.line, row[NUMBER], row[DAY], row[PLACE], row[LEAD]) for row in rows]
    ours = ("line", "laboratory_sample_text", "collected_text", "point_text", "value_text")
    assert list(zip(*(cells.table.column(name).to_pylist() for name in ours), strict=True)) == expected


def test_bottles_without_a_place_are_held_and_no_other(toronto: Delivery) -> None:
    assert toronto.outcome_at == {row.line: "new" if row[PLACE] else "held" for row in toronto.rows}
    assert toronto.account()["held"] == 8


def test_a_place_in_lower_case_is_the_same_place(toronto: Delivery) -> None:
    (row,) = [row for row in toronto.rows if row[PLACE] and not row[PLACE].isupper()]
    assert toronto.results.filter(line=row.line)["sample_point"].to_list() == ["M2L"]


def test_amounts_are_micrograms_beside_the_texts(toronto: Delivery) -> None:
    for result, row in toronto.results_with_rows():
        amount = Decimal(row[LEAD].removeprefix("<"))
        assert (result["value_text"], result["value"]) == (row[LEAD], amount)
        assert result["canonical_value"] == amount * 1000
        assert result["value_kind"] == ("below" if row[LEAD].startswith("<") else "number")


def test_the_same_file_again_is_duplicates_only(toronto: Delivery) -> None:
    first, again = toronto.account(FIRST), toronto.account(FIRST + 1)
    assert again == {"held": first["held"], "duplicate": first["new"]}
