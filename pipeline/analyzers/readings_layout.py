"""Layouts of readings: how one historian's file maps to tags, times, values and flags."""

import re
from datetime import timedelta
from decimal import Decimal, InvalidOperation
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from pipeline.ingest.file_layout import BLANKS, FileLayout, LayoutTable, folded
from pipeline.plant.analyzers import STORED_DECIMALS
from pipeline.vocabulary import ReadingFlag

Shape = Literal["narrow", "wide"]
READING_TARGETS: dict[Shape, frozenset[str]] = {
    "narrow": frozenset({"time", "tag", "value", "status"}),
    "wide": frozenset({"time", "status"}),
}
"""What the columns of a file of each shape can be; in a wide file every other column is a tag."""

NEEDED_READING_TARGETS: dict[Shape, tuple[str, ...]] = {"narrow": ("time", "tag", "value"), "wide": ("time",)}

USUAL_FORMATS = (
    "%Y-%m-%d %H:%M:%S",
    "%Y-%m-%dT%H:%M:%S",
    "%Y-%m-%d %H:%M:%S.%f",
    "%Y-%m-%dT%H:%M:%S.%f",
    "%Y-%m-%d %H:%M",
    "%Y-%m-%dT%H:%M",
)
PLANT_ZONE, OFFSET_WRITTEN = "plant", "offset written"
_FIXED_OFFSET = re.compile(r"(?P<sign>[+-])(?P<hours>[01]\d):(?P<minutes>[0-5]\d)")
_DIRECTIVES = frozenset("YmdHMSfyjbBpIz")


class TimeColumn(LayoutTable):
    """How times are written and by which clock.

    ``formats`` are patterns with the letters of ``strptime``, tried in their order. ``zone`` is ``UTC``; ``plant``: the
    plant's local time, with its clock changes; ``offset written``: every time carries its own offset; or a fixed
    offset such as ``-08:00``, the plant's standard time all year. ``repeated_hour`` says what becomes of local times
    in the hour that comes twice when the clock is set back: they are held, or told apart ``by order`` of their lines.
    """

    zone: str
    formats: tuple[str, ...] = Field(default=USUAL_FORMATS, min_length=1)
    repeated_hour: Literal["hold", "by order"] = "hold"

    @field_validator("zone")
    @classmethod
    def _known_zone(cls, zone: str) -> str:
        if zone not in ("UTC", PLANT_ZONE, OFFSET_WRITTEN) and not _FIXED_OFFSET.fullmatch(zone):
            raise ValueError(f'"{zone}" is not UTC, {PLANT_ZONE}, {OFFSET_WRITTEN}, or an offset such as -08:00')
        return zone

    @field_validator("formats")
    @classmethod
    def _known_letters(cls, formats: tuple[str, ...]) -> tuple[str, ...]:
        for pattern in formats:
            letters = re.findall(r"%(.?)", pattern.replace("%%", ""))
            unknown = [letter for letter in letters if letter not in _DIRECTIVES]
            if unknown or not letters:
                raise ValueError(
                    f'"{pattern}" is not a pattern of a time; it may use %{", %".join(sorted(_DIRECTIVES))}'
                )
        return formats

    @property
    def fixed_offset(self) -> timedelta | None:
        """How far the clock of the file is ahead of UTC all year; ``None`` where that changes or is written."""
        if self.zone == "UTC":
            return timedelta(0)
        if (match := _FIXED_OFFSET.fullmatch(self.zone)) is None:
            return None
        ahead = timedelta(hours=int(match["hours"]), minutes=int(match["minutes"]))
        return -ahead if match["sign"] == "-" else ahead


class SetAsideColumn(LayoutTable):
    """Cells that are not ours to load; ``reason`` is shown.

    Without ``equals`` a whole column of a wide file; with it every cell of a line whose ``column`` holds one of them.
    """

    column: str
    equals: tuple[str, ...] = ()
    reason: str


class ReadingWords(LayoutTable):
    """What the historian's words mean; matched without regard to case and outer blanks.

    ``flag`` is for the status column. ``value`` gives numbers to words of state in the value column.
    """

    flag: dict[str, ReadingFlag] = Field(default_factory=dict)
    value: dict[str, str] = Field(default_factory=dict)

    @field_validator("flag", "value", mode="before")
    @classmethod
    def _folded(cls, words: object) -> object:
        return {folded(written): meaning for written, meaning in words.items()} if isinstance(words, dict) else words

    @field_validator("value")
    @classmethod
    def _numbers(cls, words: dict[str, str]) -> dict[str, str]:
        for written, number in words.items():
            try:
                Decimal(number)
            except InvalidOperation:
                raise ValueError(f'"{written}" has to mean a number, and means "{number}"') from None
        return words


class ReadingsLayout(FileLayout):
    """How one historian's file maps to readings.

    ``shape`` is ``narrow`` (one reading a line) or ``wide`` (one time a line, one tag a column). ``columns`` names the
    columns of ``time``, ``tag``, ``value`` and ``status``; several names are joined by a blank (date and time). In a
    wide file every column that ``analyzers.csv`` knows is a tag, and with ``status_suffix`` the column of the same
    name followed by it holds the tag's status. ``missing`` are texts that say that there is no reading. ``decimals``
    is how many decimals are meant where the historian writes more; without it a longer number is held.
    """

    kind: Literal["readings"] = "readings"
    shape: Shape
    columns: dict[str, Annotated[tuple[str, ...], Field(min_length=1)]]
    time: TimeColumn
    status_suffix: str = ""
    missing: tuple[str, ...] = ()
    decimal_comma: bool = False
    decimals: int | None = Field(default=None, ge=0, le=STORED_DECIMALS)
    words: ReadingWords = ReadingWords()
    set_aside: tuple[SetAsideColumn, ...] = ()

    @field_validator("columns", mode="before")
    @classmethod
    def _as_lists(cls, columns: object) -> object:
        if not isinstance(columns, dict):
            return columns
        return {target: [names] if isinstance(names, str) else names for target, names in columns.items()}

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        known = READING_TARGETS[self.shape]
        if unknown := sorted(set(self.columns) - known):
            raise ValueError(
                f"a {self.shape} file has no column {', '.join(unknown)}; known are {', '.join(sorted(known))}"
            )
        if self.status_suffix and (self.shape == "narrow" or "status" in self.columns):
            raise ValueError("a status_suffix is for wide files without a status column of their own")
        if self.shape == "narrow" and any(not rule.equals for rule in self.set_aside):
            raise ValueError("in a narrow file a rule to set aside needs the texts that it equals")
        if self.delimiter == BLANKS or self.sheets or self.end or self.footer:
            raise ValueError(
                "files of readings are delimited by a character, are no workbooks, and end with their last line"
            )
        return self

    @property
    def gap(self) -> str:
        """Which column that no reading can do without the layout leaves out; empty where there is none."""
        missing = [target for target in NEEDED_READING_TARGETS[self.shape] if target not in self.columns]
        return f"which column holds {', '.join(missing)}" if missing else ""
