"""Ground water with remarks in a column of their own and codes for kinds of limits, against the csv module.

Source: U.S. Geological Survey, Idaho National Laboratory Project Office, as published in the data package inldata
1.2.5: 41,074 results of 2019 to 2024.
"""

from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from pipeline.ingest.cells import FileCells
from tests.open_data.conftest import IDAHO
from tests.open_data.delivery import FIRST, Delivery, FileRow, cells_of, rows_of

REMARK, VALUE, UNIT, KIND = "remark_cd", "result_va", "unit_cd", "sample_type_cd"
SAMPLE_TYPE = {
    "9": "sample, routine",
    "7": "quality control, field replicate",
    "2": "quality control, field blank",
}
DETECTION_LIMITS = {"DLDQC", "DLBLK", "MDL", "SSMDC", "SSLC"}


@pytest.fixture(scope="module")
def rows(open_data: Path) -> list[FileRow]:
    return rows_of(open_data / IDAHO)


@pytest.fixture(scope="module")
def cells(open_data: Path) -> FileCells:
    return cells_of("idaho", open_data / IDAHO)


def test_every_cell_of_the_file_is_there_once_in_its_place(rows: list[FileRow], cells: FileCells) -> None:
    assert len(rows) == 41_074
    expected = [(row.line, row["sample_id"], row["parm_short_nm"], row[REMARK], row[VALUE], row[UNIT]) for row in rows]
    ours = ("line", "laboratory_sample_text", "analyte_text", "qualifier_text", "value_text", "unit_text")
    assert list(zip(*(cells.table.column(name).to_pylist() for name in ours), strict=True)) == expected


def test_a_limit_goes_where_its_code_says(rows: list[FileRow], cells: FileCells) -> None:
    detection = [row["rpt_lev_va"] if row["rpt_lev_cd"] in DETECTION_LIMITS else "" for row in rows]
    reporting = [row["rpt_lev_va"] if row["rpt_lev_cd"] == "MRL" else "" for row in rows]
    assert cells.table.column("detection_limit_text").to_pylist() == detection
    assert cells.table.column("reporting_limit_text").to_pylist() == reporting
    assert Counter(row["rpt_lev_cd"] for row in rows if row["rpt_lev_va"])["MRL"] == 21_791


def test_codes_are_set_aside_and_nothing_else(idaho: Delivery) -> None:
    aside = {line for line, outcome in idaho.outcome_at.items() if outcome == "set aside"}
    assert aside == {row.line for row in idaho.rows if row[UNIT] == "code"}


def test_a_remark_says_below_above_or_estimated(idaho: Delivery) -> None:
    kinds = Counter()
    for result, row in idaho.results_with_rows():
        kind = {"<": "below", ">": "above"}.get(row[REMARK], "number")
        assert (result["value_kind"], result["value"]) == (kind, Decimal(row[VALUE]))
        assert result["estimated"] == (row[REMARK] == "E")
        kinds[row[REMARK]] += 1
    assert min(kinds[remark] for remark in ("", "<", "E", ">")) >= 1


def test_blanks_and_replicates_are_kept_apart_from_samples(idaho: Delivery) -> None:
    for result, row in idaho.results_with_rows():
        assert result["sample_type"] == SAMPLE_TYPE[row[KIND]]
        assert (result["purpose"] == "quality control") == (row[KIND] != "9")
    assert {row[KIND] for row in idaho.rows} == set(SAMPLE_TYPE)


def test_a_replicate_and_its_sample_are_both_kept(idaho: Delivery) -> None:
    pairs: dict[tuple[str, str], list[int]] = {}
    for row in idaho.rows:
        if row["rep_pair_id"] and idaho.outcome_at[row.line] == "new":
            pairs.setdefault((row["rep_pair_id"], row["pcode"]), []).append(row.line)
    both = [lines for lines in pairs.values() if len(lines) == 2]
    assert len(both) >= 5
    assert {line for lines in both for line in lines} <= set(idaho.results["line"])


def test_negative_results_of_radiochemistry_stay(idaho: Delivery) -> None:
    negative = [row for row in idaho.rows if row[UNIT] == "pCi/L" and row[VALUE].startswith("-")]
    assert len(negative) > 5
    assert {idaho.outcome_at[row.line] for row in negative} == {"new"}


@pytest.mark.parametrize(("code", "status"), [("R", "final"), ("S", "preliminary")])
def test_a_provisional_result_is_preliminary(idaho: Delivery, code: str, status: str) -> None:
    found = {result["status"] for result, row in idaho.results_with_rows() if row["dqi_cd"] == code}
    assert found == {status}


def test_no_two_results_are_taken_for_one(idaho: Delivery) -> None:
    assert not {"duplicate", "revision"} & idaho.account().keys()


def test_the_same_file_again_is_duplicates_only(idaho: Delivery) -> None:
    first, again = idaho.account(FIRST), idaho.account(FIRST + 1)
    assert again == {**{name: count for name, count in first.items() if name != "new"}, "duplicate": first["new"]}
