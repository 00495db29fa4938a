"""Every defect that the list names in the first laboratory's files really stands at its file and line."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from sample_lab import PlantedDefect, planted_defects
from sample_lab.generator.files import sample_files
from sample_lab.planted import DEFECT_COLUMNS, list_defects
from sample_lab.records import Record, text_of

DEFECTS = [defect for defect in planted_defects() if defect.line is not None and defect.file.startswith("tarnwick")]


def _has_check_digit(cas: str) -> bool:
    # CAS, "Check Digit Verification of CAS Registry Numbers".
    digits = cas.replace("-", "")
    return sum(place * int(digit) for place, digit in enumerate(reversed(digits[:-1]), 1)) % 10 == int(digits[-1])


STANDS_THERE: dict[str, Callable[[Record], bool]] = {
    "unknown unit": lambda r: r["unit"] == "parts",
    "ambiguous unit": lambda r: r["unit"] == "ppt",
    "unit of the wrong dimension": lambda r: r["unit"] == "mg/kg",
    "nitrate without a basis": lambda r: (r["analyte"], r["basis"], r["unit"]) == ("Nitrate", "", "mg/L"),
    "unknown spelling of an analyte": lambda r: r["analyte"] == "Specific Cond.",
    "name on the stop list": lambda r: r["analyte"] == "Chlorine",
    "unknown sample point": lambda r: r["sample_point"] == "RO-C Permeate",
    "non-detect without any limit": lambda r: (
        r["value"] == "ND" and not r["reporting_limit"] and not r["detection_limit"]
    ),
    "unreadable value": lambda r: ".." in r["value"],
    "words in the value column": lambda r: r["value"] == "see note",
    "more than fifteen decimals": lambda r: len(r["value"].partition(".")[2]) > 15,
    "lost decimal point": lambda r: r["analyte"] == "pH" and Decimal(r["value"]) > 14,
    "no collection time": lambda r: r["collected"] == "",
    "date not in the calendar": lambda r: r["collected"][5:7] == "13",
    "analyzed before collected": lambda r: r["analyzed"] < r["collected"],
    "equal keys, different content": lambda r: r["result_id"] != "",
    "late residue": lambda r: (r["collected"][:10], r["analyzed"][:10]) == ("2026-10-13", "2026-10-22"),
    "late nitrate": lambda r: (r["collected"][:10], r["analyzed"][:10]) == ("2026-01-13", "2026-01-16"),
    "late extraction, method 533": lambda r: (
        (r["method"], r["collected"][:10], r["extracted"][:10]) == ("EPA 533", "2026-04-14", "2026-05-15")
    ),
    "late extraction, method 537.1": lambda r: (
        (r["method"], r["collected"][:10], r["extracted"][:10]) == ("EPA 537.1", "2025-07-08", "2025-07-25")
    ),
    "late coliform": lambda r: (r["collected"][:13], r["analyzed"][:13]) == ("2025-02-14 09", "2025-02-15 18"),
    "warm receipt": lambda r: Decimal(r["receipt_temperature_c"]) > 10,
    "reporting limit above the limit": lambda r: r["value"] == "ND" and Decimal(r["reporting_limit"]) > 4,
    "detection limit above reporting limit": lambda r: (
        Decimal(r["detection_limit"]) > Decimal(r["reporting_limit"])
    ),
    "zero for a chemistry value": lambda r: r["value"] == "0" and r["unit"] == "ug/L",
    "CAS number with a wrong check digit": lambda r: not _has_check_digit(r["cas_number"]),
    "CAS number turned into a date": lambda r: r["cas_number"].count("/") == 2,
    "CAS number of another analyte": lambda r: r["analyte"] == "Bromide" and _has_check_digit(r["cas_number"]),
    "local time in the spring gap": lambda r: r["collected"] == "2025-03-09 02:30",
    "local time in the autumn fold": lambda r: r["collected"] == "2025-11-02 01:30",
    "rejected by the laboratory": lambda r: r["status"] == "rejected",
    "the same line twice": lambda r: r["result_id"] != "",
    "correction in a later file": lambda r: r["revision"] == "2",
    "preliminary, then final": lambda r: (r["status"], r["revision"]) in {("preliminary", "0"), ("final", "1")},
    "broken bottle": lambda r: r["value"] == "not analyzed",
    "padded unit": lambda r: r["unit"] != r["unit"].strip() and r["unit"].strip() == "mg/L",
    "unit in capitals": lambda r: r["unit"] == "MG/L",
    "line break in a comment": lambda r: "\n" in r["comment"],
}  # fmt: skip


def _at(records: list[Record], defect: PlantedDefect) -> Record:
    (record,) = [record for record in records if (record.file, record.line) == (defect.file, defect.line)]
    return record


def test_the_shipped_list_is_the_generators() -> None:
    assert planted_defects() == list_defects()


def test_every_kind_of_the_list_has_its_proof() -> None:
    assert {defect.kind for defect in DEFECTS} == STANDS_THERE.keys()


@pytest.mark.parametrize("defect", DEFECTS, ids=lambda defect: f"{defect.kind}-{defect.file}-{defect.line}")
def test_defect_stands_at_its_line(defect: PlantedDefect, records: list[Record]) -> None:
    record = _at(records, defect)
    assert record["result_id"] == defect.result_id
    assert STANDS_THERE[defect.kind](record)


@pytest.mark.parametrize("defect", DEFECTS, ids=lambda defect: f"{defect.kind}-{defect.file}-{defect.line}")
def test_physical_line_holds_the_result(defect: PlantedDefect) -> None:
    (file,) = [file for file in sample_files() if file.name == defect.file]
    line = text_of(file).split("\n")[defect.line - 1]
    assert line.startswith(f"{defect.result_id},")


def test_lines_below_a_line_break_are_counted_physically(records: list[Record]) -> None:
    (broken,) = [defect for defect in DEFECTS if defect.kind == "line break in a comment"]
    below = [record for record in records if record.file == broken.file and record.line > broken.line]
    assert below[0].line == broken.line + 2


def test_the_same_line_twice_is_the_same_in_every_column(records: list[Record]) -> None:
    (defect,) = [defect for defect in DEFECTS if defect.kind == "the same line twice"]
    pair = [record.texts for record in records if record["result_id"] == defect.result_id]
    assert len(pair) == 2
    assert pair[0] == pair[1]


def test_twins_share_every_identifier_and_differ_in_value(records: list[Record]) -> None:
    twins = [_at(records, defect) for defect in DEFECTS if defect.kind == "equal keys, different content"]
    first, second = twins
    different = {column for column in first.texts if first[column] != second[column]}
    assert different == {"value"}


@pytest.mark.parametrize("kind", ["correction in a later file", "preliminary, then final"])
def test_reissue_comes_later_with_another_value(kind: str, records: list[Record]) -> None:
    (later,) = [_at(records, d) for d in DEFECTS if (d.kind, d.expected) == (kind, "revision")]
    (first,) = [r for r in records if r["result_id"] == later["result_id"] and r.file != later.file]
    assert first.file < later.file
    assert first["reported"] < later["reported"]
    assert int(first["revision"]) < int(later["revision"])
    assert first["value"] != later["value"]


def test_expected_words_are_from_the_list() -> None:
    words = {defect.expected for defect in planted_defects()}
    assert words == {"held", "flagged", "note", "duplicate", "revision", "accepted"}


def test_only_what_the_load_decides_itself_has_no_rule() -> None:
    without = {
        defect.kind
        for defect in planted_defects()
        if defect.expected in {"held", "flagged", "note"} and not defect.rule_id
    }
    assert without == {"equal keys, different content", "equal rows but for one value", "one sample, two times"}


def test_the_list_has_the_agreed_columns() -> None:
    assert tuple(PlantedDefect.__slots__) == DEFECT_COLUMNS
