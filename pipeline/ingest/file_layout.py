"""What every layout says, whatever its file holds: its name, how the file is split, and how it is recognised."""

import io
import re
from collections.abc import Iterable, Sequence
from fnmatch import fnmatchcase
from typing import Literal, Self

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

BLANKS = "blanks"
"""The delimiter of files whose columns are kept apart by runs of blanks or tabs."""

DELIMITERS: dict[str, str] = {
    ",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars", "^": "carets", "~": "tildes", BLANKS: "blanks",
}  # fmt: skip
"""The usual delimiters, in the order in which they are tried on a file that no layout knows."""


class LayoutTable(BaseModel):
    """A part of a layout file; a key that is not known is a fault and never passed over."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Headerless(LayoutTable):
    """A file without a header: ``names`` names its columns in their order, ``first_cell`` is how each row begins.

    ``first_cell`` is a pattern that the whole first cell of the first row has to match.
    """

    names: tuple[str, ...] = Field(min_length=2)
    first_cell: str

    @field_validator("names")
    @classmethod
    def _each_once(cls, names: tuple[str, ...]) -> tuple[str, ...]:
        if len({folded(name) for name in names}) < len(names):
            raise ValueError("each column needs a name of its own")
        return names

    @field_validator("first_cell")
    @classmethod
    def _a_pattern(cls, pattern: str) -> str:
        return checked_pattern(pattern)


class FileLayout(LayoutTable):
    """How the files of one sender are recognised and split, whatever they hold.

    ``kind`` says what the file holds and by which model the rest of the layout is read
    (:data:`pipeline.ingest.layout_files.KINDS`). ``signature`` are the header names by which the file is recognised;
    a file without a header has ``headerless`` instead. ``end`` and ``footer`` say where a table ends before its file
    does; ``sheets`` are patterns for the names of the sheets of a workbook that are read (all where none are given).
    """

    kind: str = "results"
    name: str
    about: str = ""
    delimiter: str = ","
    encoding: str = ""
    signature: tuple[str, ...] = ()
    headerless: Headerless | None = None
    end: Literal["", "blank line"] = ""
    footer: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()

    @field_validator("delimiter")
    @classmethod
    def _one_character(cls, delimiter: str) -> str:
        if delimiter != BLANKS and (len(delimiter) != 1 or delimiter.isalnum() or delimiter in ' "\r\n.+-'):
            raise ValueError(f'"{delimiter}" is not one separating character, nor "{BLANKS}"')
        return delimiter

    @field_validator("encoding")
    @classmethod
    def _known_encoding(cls, encoding: str) -> str:
        try:
            io.TextIOWrapper(io.BytesIO(), encoding=encoding or "utf-8")  # knows encodings of text, and no others
        except LookupError:
            raise ValueError(f'the encoding "{encoding}" is not known') from None
        return encoding

    @model_validator(mode="after")
    def _recognisable(self) -> Self:
        if self.headerless is None and len(self.signature) < 2:
            raise ValueError("the signature needs at least two names of the header")
        if self.headerless is not None and self.signature:
            raise ValueError("a file without a header has no signature")
        return self

    @property
    def gap(self) -> str:
        """What the layout fails to say, to follow "does not say"; empty where nothing is missing."""
        return ""

    @property
    def particularity(self) -> int:
        """How much of a file has to be as the layout says; the more particular of two layouts that fit is chosen."""
        return len(self.headerless.names) if self.headerless else len(self.signature)

    def fits(self, cells: Sequence[str]) -> bool:
        """Whether a record is a header that this layout knows; without a header, whether it is a row of the file."""
        if self.headerless:
            return len(cells) == len(self.headerless.names) and bool(
                re.fullmatch(self.headerless.first_cell, cells[0].strip())
            )
        written = {folded(name) for name in cells}
        return all(folded(name) in written for name in self.signature)

    def is_footer(self, cells: Iterable[str]) -> bool:
        """Whether a record begins what stands under the table: its first text begins with one of ``footer``."""
        first = next((folded(cell) for cell in cells if cell.strip()), "")
        return any(first.startswith(folded(text)) for text in self.footer)

    def reads_sheet(self, name: str) -> bool:
        """Whether a sheet of that name is read; a text file is one without a name."""
        return not (self.sheets and name) or any(fnmatchcase(folded(name), folded(pattern)) for pattern in self.sheets)


def folded(text: str) -> str:
    """A text for comparing names: outer blanks gone, inner ones single, case ignored."""
    return " ".join(text.split()).casefold()


def checked_pattern(pattern: str) -> str:
    """A pattern as it is given.

    Raises
    ------
    ValueError
        When it is not a regular expression.
    """
    try:
        re.compile(pattern)
    except re.error as error:
        raise ValueError(f'"{pattern}" is not a pattern: {error}') from None
    return pattern
