"""Reads the sample files back with the standard library alone: the product must not vouch for its own food."""

import csv
import io
from dataclasses import dataclass
from datetime import date

from sample_lab.generator.files import BYTE_ORDER_MARK, WINDOWS_1252, LabFile

_ENCODINGS = {f"tarnwick_{WINDOWS_1252}.csv": "cp1252", f"tarnwick_{BYTE_ORDER_MARK}.csv": "utf-8-sig"}


@dataclass(frozen=True, slots=True)
class Record:
    """One result as a file holds it: the physical line on which it starts, from 1, and its columns."""

    file: str
    line: int
    texts: dict[str, str]

    def __getitem__(self, column: str) -> str:
        return self.texts[column]

    @property
    def day(self) -> date:
        """The day of collection; an unreadable one raises ``ValueError``."""
        return date.fromisoformat(self["collected"][:10])

    @property
    def is_routine(self) -> bool:
        """Whether it is water from the plant and no check of the sampling."""
        return not self["sample_type"].startswith("quality control")


def text_of(file: LabFile) -> str:
    """The text of a file, in the encoding in which it was written."""
    return file.content.decode(_ENCODINGS.get(file.name, "utf-8"))


def records_of(file: LabFile) -> list[Record]:
    """Every record of a file in order."""
    reader = csv.reader(io.StringIO(text_of(file), newline=""))
    header = next(reader)
    records, line = [], reader.line_num + 1
    for cells in reader:
        records.append(Record(file.name, line, dict(zip(header, cells, strict=True))))
        line = reader.line_num + 1
    return records
