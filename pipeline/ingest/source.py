"""A delivered file as its bytes, and a text file as records that know their lines; nothing interpreted."""

import csv
import hashlib
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import FileError, Place
from pipeline.ingest.file_layout import BLANKS
from pipeline.ingest.text_encoding import decoded
from pipeline.ingest.workbook_archive import ZIP_START, member, text_members

HEAD_BYTES = 1_000_000  # even, for the two bytes of a character in UTF-16
"""How much of a text file is read to recognise it."""

LONGEST_LINE_CHARACTERS = 1_000_000
LONGEST_FIELD_CHARACTERS = 131_072
WORKBOOK, ARCHIVE = "workbook", "zip archive"
_UNREADABLE_STARTS = (
    (
        b"\xd0\xcf\x11\xe0",
        "a workbook in the old format, or one with a password",
        "Save it as .xlsx, without password.",
    ),
    (b"%PDF", "a PDF document", "Ask for, or save, the data as CSV."),
    (b"PAR1", "a Parquet file", "Ask for, or save, the data as CSV."),
    (b"\x1f\x8b", "a compressed file", "Unpack it first."),
)
_TOKEN = re.compile(r'"((?:[^"]|"")*)"(?=\s|$)|(\S+)')


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A file as delivered: its bytes are what is archived, its text is what is read.

    ``encoding`` is the encoding the bytes were read with, or "workbook" or "zip archive", which have no text of their
    own. ``is_cut`` says that only the beginning of the file was read, ``problem`` why there is no text, unless a layout
    states the encoding. ``members`` are the names of the text files of an archive.
    """

    name: str
    content: bytes = field(repr=False)
    text: str = field(repr=False)
    encoding: str
    is_cut: bool = False
    problem: FileError | None = None
    members: tuple[str, ...] = ()

    @property
    def sha256(self) -> str:
        """Fingerprint under which the file is archived."""
        return hashlib.sha256(self.content).hexdigest()

    @property
    def is_workbook(self) -> bool:
        """Whether the file holds sheets and not lines of text."""
        return self.encoding == WORKBOOK

    @property
    def is_archive(self) -> bool:
        """Whether the file holds several text files."""
        return self.encoding == ARCHIVE

    def member(self, name: str) -> "SourceFile":
        """One text file of an archive.

        Raises
        ------
        FileError
            When the archive is damaged.
        """
        return decode_source(f"{self.name}, {name}", member(self.content, name, Place(self.name)))

    def beginning(self) -> "SourceFile":
        """As much of the file as it takes to recognise it."""
        if self.is_workbook or self.is_archive or len(self.content) <= HEAD_BYTES:
            return self
        return decode_source(self.name, self.content[:HEAD_BYTES], is_cut=True)

    def read_as(self, encoding: str) -> "SourceFile":
        """The same file in the encoding that a layout states; itself where it states none.

        Raises
        ------
        FileError
            When the bytes are not text in that encoding, or not in any where the layout states none.
        """
        if self.is_workbook or self.is_archive:
            return self
        if encoding and encoding != self.encoding:
            return _of_text(self.name, self.content, encoding, is_cut=self.is_cut)
        if self.problem:
            raise self.problem
        return self


@dataclass(frozen=True, slots=True)
class Record:
    """One record of a table and the physical lines it stands on (both inclusive, counted from 1)."""

    line: int
    last_line: int
    fields: list[str]

    @property
    def is_blank(self) -> bool:
        """Whether no text stands in the record; separators alone say nothing."""
        return not any(map(str.strip, self.fields))

    @property
    def line_count(self) -> int:
        """How many physical lines the record stands on."""
        return self.last_line - self.line + 1


def read_source(path: Path) -> SourceFile:
    """Read a file from disk and decode it.

    Raises
    ------
    FileError
        When the file is missing, empty, or of a kind that cannot be read.
    """
    return decode_source(path.name, _read(path))


def read_head(path: Path) -> SourceFile:
    """Read as much of a file as it takes to recognise it: the first megabyte of a text, an archive whole."""
    head = _read(path, HEAD_BYTES)
    if len(head) < HEAD_BYTES or head.startswith(ZIP_START):
        return read_source(path)
    return decode_source(path.name, head, is_cut=True)


def decode_source(name: str, content: bytes, *, is_cut: bool = False) -> SourceFile:
    """Decode the bytes of a delivered file, or its beginning; see :func:`read_source`."""
    place = Place(name)
    if not content.strip():
        raise FileError("the file is empty.", "Ask the sender for the file again.", place)
    if content.startswith(ZIP_START):
        members = text_members(content, place)
        unread = FileError("this is a zip archive.", "Unpack it first.", place) if members else None
        return SourceFile(name, content, "", ARCHIVE if members else WORKBOOK, problem=unread, members=members)
    for start, kind, remedy in _UNREADABLE_STARTS:
        if content.startswith(start):
            raise FileError(f"this is {kind}.", remedy, place)
    try:
        return _of_text(name, content, "", is_cut=is_cut)
    except FileError as problem:
        return SourceFile(name, content, "", "", is_cut, problem)


def _of_text(name: str, content: bytes, encoding: str, *, is_cut: bool) -> SourceFile:
    place = Place(name)
    text, encoding = decoded(content, place, encoding, is_cut=is_cut)
    if "\x00" in text:
        raise FileError("this is not a text file (it holds zero bytes).", "Ask the sender for a CSV file.", place)
    longest = max(map(len, text.splitlines()), default=0)
    if longest > LONGEST_LINE_CHARACTERS:
        raise FileError(
            f"one line has {longest:,} characters; the longest that can be a line of results has "
            f"{LONGEST_LINE_CHARACTERS:,}.",
            "Ask the sender for the file again, with its line breaks.",
            place,
        )
    return SourceFile(name, content, text, encoding, is_cut)


def records(source: SourceFile, delimiter: str) -> Iterator[Record]:
    """Split a text file into records, blank lines included, in file order.

    Lines end with a line feed, a carriage return, or both.

    Raises
    ------
    FileError
        When a quotation mark is never closed or is followed by text: what follows could be read in two ways. When the
        file is not text, or has a line longer than 1,000,000 characters.
    """
    if source.problem:
        raise source.problem
    text = io.StringIO(source.text, newline="")
    if delimiter == BLANKS:
        yield from (Record(line, line, _words(written)) for line, written in enumerate(text, start=1))
        return
    reader = csv.reader(text, delimiter=delimiter, strict=True)
    csv.field_size_limit(LONGEST_FIELD_CHARACTERS)
    last_line = 0
    try:
        for fields in reader:
            yield Record(last_line + 1, reader.line_num, fields)
            last_line = reader.line_num
    except csv.Error as error:
        raise FileError(*_in_plain_words(error), Place(source.name, last_line + 1)) from error


def _words(line: str) -> list[str]:
    """The texts between runs of blanks; quotation marks keep a text with blanks together."""
    return [bare or quoted.replace('""', '"') for quoted, bare in _TOKEN.findall(line.strip())]


def _read(path: Path, size: int = -1) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(size)
    except OSError as error:
        raise FileError(
            f"cannot be read ({error.strerror}).", "Check the name and the permissions.", Place(path.name)
        ) from error


def _in_plain_words(error: csv.Error) -> tuple[str, str]:
    said = str(error)
    if "unexpected end of data" in said:
        return "a quotation mark is opened and never closed.", "The file may be cut short: ask the sender for it again."
    if "field larger" in said:
        return (
            f"one cell has more than {LONGEST_FIELD_CHARACTERS:,} characters.",
            "A quotation mark may be missing: ask the sender to check the line.",
        )
    return "a closing quotation mark is followed by text.", "Ask the sender to double the quotation marks inside cells."
