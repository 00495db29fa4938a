"""How one sender writes numbers and times, where that differs from a point for the decimal and ISO 8601."""

import re
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import Field, field_validator, model_validator

from pipeline.ingest.file_layout import LayoutTable, folded

_OFFSET = re.compile(r"[+-]\d{2}:\d{2}")


class NumberStyle(LayoutTable):
    """How numbers are written: the mark of the decimal, and the mark between groups of three digits, if any.

    A blank as ``thousands`` stands for any kind of blank, narrow and unbreakable ones too.
    """

    decimal: Literal[".", ","] = "."
    thousands: Literal["", ",", ".", " ", "'", "\u2019"] = ""

    @model_validator(mode="after")
    def _two_marks(self) -> "NumberStyle":
        if self.decimal == self.thousands:
            raise ValueError("one mark cannot stand for the decimal and for thousands")
        return self


class TimeStyle(LayoutTable):
    """How dates and times are written.

    ``order`` is the order of a date written with digits, "" for ISO 8601 alone. ``first_year`` is the first of the
    hundred years that two digits stand for; without it a date with two digits for the year cannot be read. ``zone`` is
    the sender's where it is not the plant's, ``clock`` says whether its clock follows the changes to summer time, and
    ``zones`` gives words for a zone a meaning: a zone of the IANA database or an offset such as ``-05:00``.
    ``serial_from`` reads plain numbers as a spreadsheet counts days, from 1900 or from 1904.
    """

    order: Literal["", "year first", "month first", "day first"] = ""
    first_year: int | None = Field(default=None, ge=1900, le=2100)
    zone: str = ""
    clock: Literal["local", "standard time all year"] = "local"
    zones: dict[str, str] = Field(default_factory=dict)
    serial_from: Literal[1900, 1904] | None = None

    @field_validator("zone")
    @classmethod
    def _known_zone(cls, zone: str) -> str:
        if zone and not is_zone(zone):
            raise ValueError(f'"{zone}" is not a zone of the IANA database, such as "America/Denver"')
        return zone

    @field_validator("zones")
    @classmethod
    def _known_zones(cls, zones: dict[str, str]) -> dict[str, str]:
        for means in zones.values():
            if not _OFFSET.fullmatch(means) and not is_zone(means):
                raise ValueError(f'"{means}" is neither a zone of the IANA database nor an offset such as "-05:00"')
        return {folded(written): means for written, means in zones.items()}


def is_zone(name: str) -> bool:
    """Whether the IANA database knows a zone of that name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
