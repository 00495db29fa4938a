"""The first laboratory's files, as bytes, with the line on which every planted fault stands.

The first year came at once, then quarters, and the last three months one by one.
"""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from sample_lab.generator.defects import plant_faults
from sample_lab.generator.record import faultless_record
from sample_lab.generator.rows import COLUMNS, LabRow, Mark

DEFAULT_SEED = 20241101

# The months of each file that holds more than one, by the file's part of its name.
LONGER_FILES = {
    "2023-11_to_2024-10": ("2023-11", "2024-10"),
    "2024-11_to_2025-01": ("2024-11", "2025-01"),
    "2025-02_to_2025-04": ("2025-02", "2025-04"),
    "2025-05_to_2025-07": ("2025-05", "2025-07"),
    "2025-08_to_2025-10": ("2025-08", "2025-10"),
    "2025-11_to_2026-01": ("2025-11", "2026-01"),
    "2026-02_to_2026-04": ("2026-02", "2026-04"),
    "2026-05_to_2026-07": ("2026-05", "2026-07"),
}
WINDOWS_1252 = "2025-02_to_2025-04"
BYTE_ORDER_MARK = "2025-05_to_2025-07"
CARRIAGE_RETURN = "2025-08_to_2025-10"
SENT_AGAIN = "2026-08"


@dataclass(frozen=True, slots=True)
class LabFile:
    """One file as it is sent: its name, its bytes, and the marked lines with their physical line numbers, from 1."""

    name: str
    content: bytes
    marked: tuple[tuple[int, LabRow, Mark], ...]


@lru_cache(maxsize=2)
def sample_files(seed: int = DEFAULT_SEED) -> tuple[LabFile, ...]:
    """Every file of the first laboratory for one seed, in the order of arrival."""
    return tuple(make_files(seed))


def make_files(seed: int) -> Iterator[LabFile]:
    """Make the files of one seed anew."""
    months = faultless_record(seed)
    plant_faults(months)
    for name, parts in groupby(sorted(months), key=_file_of):
        file = _file(name, [row for month in parts for row in months[month]])
        yield file
        if name == SENT_AGAIN:
            yield LabFile(f"tarnwick_{name}_sent_again.csv", file.content, ())


def _file_of(month: str) -> str:
    return next((name for name, (first, last) in LONGER_FILES.items() if first <= month <= last), month)


def _file(name: str, rows: list[LabRow]) -> LabFile:
    line_end = "\r\n" if name == CARRIAGE_RETURN else "\n"
    encoding = {WINDOWS_1252: "cp1252", BYTE_ORDER_MARK: "utf-8-sig"}.get(name, "utf-8")
    text = io.StringIO()
    writer = csv.writer(text, lineterminator=line_end)
    writer.writerow(COLUMNS)
    marked, line = [], 2
    for row in rows:
        cells = [row.texts[column] for column in COLUMNS]
        writer.writerow(cells)
        marked += [(line, row, mark) for mark in row.marks]
        line += 1 + sum(cell.count("\n") for cell in cells)
    return LabFile(f"tarnwick_{name}.csv", text.getvalue().encode(encoding), tuple(marked))
