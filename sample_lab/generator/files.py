"""The laboratory's files, as bytes, with the line on which every planted fault stands: a year at once, then months."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from sample_lab.generator.defects import plant_faults
from sample_lab.generator.record import faultless_record
from sample_lab.generator.rows import COLUMNS, LabRow, Mark

DEFAULT_SEED = 20241101

WINDOWS_1252_MONTH = "2025-02"
BYTE_ORDER_MARK_MONTH = "2025-05"
CARRIAGE_RETURN_MONTH = "2025-08"
SENT_AGAIN_MONTH = "2025-06"
# The first year came as one file when the plant began to keep this record.
FIRST_MONTH = "2024-11"
HISTORY = "2023-11_to_2024-10"


@dataclass(frozen=True, slots=True)
class LabFile:
    """One file as it is sent: its name, its bytes, and the marked lines with their physical line numbers, from 1."""

    name: str
    content: bytes
    marked: tuple[tuple[int, LabRow, Mark], ...]


def write_sample_files(folder: Path, seed: int = DEFAULT_SEED) -> list[Path]:
    """Write three years of the fictional laboratory's files; the same seed writes the same bytes.

    Parameters
    ----------
    folder
        Where to write; made when it is not there. Files of the same names are replaced.
    seed
        Which world: another seed gives other values in the same lines.

    Returns
    -------
    list of Path
        The files in the order in which they arrived; the file that was sent twice comes twice, under two names.
    """
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for file in sample_files(seed):
        path = folder / file.name
        path.write_bytes(file.content)
        paths.append(path)
    return paths


@lru_cache(maxsize=2)
def sample_files(seed: int = DEFAULT_SEED) -> tuple[LabFile, ...]:
    """Every file of one seed, in the order of arrival."""
    return tuple(make_files(seed))


def make_files(seed: int) -> Iterator[LabFile]:
    """Make the files of one seed anew."""
    months = faultless_record(seed)
    plant_faults(months)
    yield _file(HISTORY, [row for month, rows in sorted(months.items()) if month < FIRST_MONTH for row in rows])
    for month, rows in sorted(months.items()):
        if month < FIRST_MONTH:
            continue
        file = _file(month, rows)
        yield file
        if month == SENT_AGAIN_MONTH:
            yield LabFile(f"tarnwick_{month}_sent_again.csv", file.content, ())


def _file(month: str, rows: list[LabRow]) -> LabFile:
    line_end = "\r\n" if month == CARRIAGE_RETURN_MONTH else "\n"
    encoding = {WINDOWS_1252_MONTH: "cp1252", BYTE_ORDER_MARK_MONTH: "utf-8-sig"}.get(month, "utf-8")
    text = io.StringIO()
    writer = csv.writer(text, lineterminator=line_end)
    writer.writerow(COLUMNS)
    marked, line = [], 2
    for row in rows:
        cells = [row.texts[column] for column in COLUMNS]
        writer.writerow(cells)
        marked += [(line, row, mark) for mark in row.marks]
        line += 1 + sum(cell.count("\n") for cell in cells)
    return LabFile(f"tarnwick_{month}.csv", text.getvalue().encode(encoding), tuple(marked))
