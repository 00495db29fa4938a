"""The files are what the fictional laboratory is said to send: how many, of what, when, and in which bytes."""

import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

import sample_lab
from sample_lab import write_sample_files
from sample_lab.generator.deliveries import deliveries
from sample_lab.generator.files import make_files, sample_files
from sample_lab.generator.rows import COLUMNS
from sample_lab.generator.tables import methods
from sample_lab.planted import list_defects
from sample_lab.records import Record, records_of


def test_the_same_seed_makes_the_same_bytes() -> None:
    again = tuple(make_files(20241101))
    assert [file.content for file in again] == [file.content for file in sample_files(20241101)]


_DIGEST = """
import hashlib, sys
from datetime import date
from pathlib import Path
from sample_lab.generator.deliveries import deliveries
from sample_lab.generator.readings.clock import Span
from sample_lab.generator.readings.historian import write_wide
from sample_lab.generator.readings.tags import tags

def digest(folder):
    path = Path(folder) / "wide.csv"
    write_wide(path, 20241101, Span(date(2025, 11, 1), date(2025, 11, 3), 15), tags())
    said = [file.content for file in deliveries()] + [path.read_bytes()]
    return hashlib.sha256(b"".join(said)).hexdigest()
"""


def test_every_clock_and_hash_seed_makes_the_same_bytes(tmp_path: Path) -> None:
    here: dict[str, Callable[[Path], str]] = {}
    exec(_DIGEST, here)
    elsewhere = subprocess.run(
        [sys.executable, "-c", f"{_DIGEST}\nprint(digest(sys.argv[1]))", str(tmp_path)],
        env=os.environ | {"TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "1", "LC_ALL": "C"},
        cwd=Path(sample_lab.__file__).parents[1], capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert elsewhere.stdout.strip() == here["digest"](tmp_path)


def test_another_seed_makes_other_values_in_the_same_lines() -> None:
    other = sample_files(7)
    assert other[0].content != sample_files()[0].content
    places = [(defect.file, defect.line, defect.result_id) for defect in list_defects(7)]
    assert places == [(defect.file, defect.line, defect.result_id) for defect in list_defects()]


def test_written_files_are_the_ones_made(tmp_path: Path) -> None:
    paths = write_sample_files(tmp_path / "new" / "folder")
    assert [path.name for path in paths] == [file.name for file in deliveries()]
    assert [path.read_bytes() for path in paths] == [file.content for file in deliveries()]


def test_a_year_at_once_then_quarters_then_months_and_one_sent_twice() -> None:
    names = [file.name.removeprefix("tarnwick_").removesuffix(".csv") for file in sample_files()]
    starts = [f"{year}-{month:02d}" for year in (2024, 2025, 2026) for month in (2, 5, 8, 11)]
    quarters = [name for name in names if name[:7] in starts and "_to_" in name]
    assert len(quarters) == 7
    assert names == ["2023-11_to_2024-10", *quarters, "2026-08", "2026-08_sent_again", "2026-09", "2026-10"]


def test_the_file_sent_again_has_the_same_bytes() -> None:
    content = {file.name: file.content for file in sample_files()}
    assert content["tarnwick_2026-08_sent_again.csv"] == content["tarnwick_2026-08.csv"]


def test_sixty_analytes_at_eight_points(sound_records: list[Record]) -> None:
    assert len({record["analyte"] for record in sound_records}) == len(methods()) == 60
    assert len({record["sample_point"] for record in sound_records}) == 8


def test_three_years_without_a_missing_week(sound_records: list[Record]) -> None:
    days = sorted({record.day for record in sound_records})
    assert days[0] == date(2023, 11, 3)
    assert date(2026, 10, 25) < days[-1] <= date(2026, 10, 31)
    assert max((later - earlier).days for earlier, later in pairwise(days)) <= 4


def test_enough_rows_to_be_real_and_few_enough_to_be_quick(records: list[Record]) -> None:
    assert 18_000 < len(records) < 30_000


def test_result_ids_are_unique_but_for_planted_repeats(sound_records: list[Record]) -> None:
    counts = Counter(record["result_id"] for record in sound_records)
    assert {identifier for identifier, count in counts.items() if count > 1} == set()


def test_every_file_has_the_agreed_header() -> None:
    assert {tuple(records_of(file)[0].texts) for file in sample_files()} == {COLUMNS}


def test_one_file_is_windows_1252_with_its_micro_sign() -> None:
    content = {file.name: file.content for file in sample_files()}["tarnwick_2025-02_to_2025-04.csv"]
    assert b",\xb5g/L," in content
    with pytest.raises(UnicodeDecodeError):
        content.decode("utf-8")


def test_one_file_has_a_byte_order_mark_and_one_carriage_returns() -> None:
    content = {file.name: file.content for file in sample_files()}
    assert [name for name, text in content.items() if text.startswith(b"\xef\xbb\xbf")] == [
        "tarnwick_2025-05_to_2025-07.csv"
    ]
    assert [name for name, text in content.items() if b"\r\n" in text] == ["tarnwick_2025-08_to_2025-10.csv"]


def test_both_micro_signs_occur(records: list[Record]) -> None:
    units = {record["unit"] for record in records}
    assert {"ug/L", "\u00b5g/L", "\u03bcg/L"} <= units


def test_non_detects_come_in_both_ways_of_writing(sound_records: list[Record]) -> None:
    assert any(record["value"] == "ND" and record["reporting_limit"] for record in sound_records)
    assert any(record["value"] == f"<{record['reporting_limit']}" for record in sound_records)


def test_blanks_and_replicates_are_there(records: list[Record]) -> None:
    types = {record["sample_type"] for record in records}
    assert {f"quality control, {kind}" for kind in ("field replicate", "field blank", "trip blank")} < types
