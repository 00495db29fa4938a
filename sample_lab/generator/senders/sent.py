"""A file as one of the senders sends it: its bytes, and the places of what was planted in it."""

from dataclasses import dataclass

from sample_lab.generator.rows import Mark


@dataclass(frozen=True, slots=True)
class Planted:
    """Where one planted fault stands.

    ``line`` is the physical line or, in a workbook, the row of ``sheet``, from 1. ``cell`` is the heading of the
    value's column, as written. ``analyte`` is our name, whatever the heading says.
    """

    line: int
    cell: str
    analyte: str
    mark: Mark
    sheet: str = ""
    result_id: str = ""


@dataclass(frozen=True, slots=True)
class SentFile:
    """One file as it is sent, and the day on which it ``arrived`` (ISO 8601)."""

    name: str
    content: bytes
    arrived: str
    planted: tuple[Planted, ...] = ()
