"""A delivered text file as records that know their lines: decoded, split and counted, nothing interpreted."""

import csv
import hashlib
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.errors import FileError, Place

LONGEST_LINE_CHARACTERS = 1_000_000
LONGEST_FIELD_CHARACTERS = 131_072
BYTE_ORDER_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
KNOWN_BINARY_STARTS = (
    (b"PK\x03\x04", "a workbook or a zip archive"),
    (b"\xd0\xcf\x11\xe0", "an old workbook"),
    (b"%PDF", "a PDF document"),
    (b"PAR1", "a Parquet file"),
    (b"\x1f\x8b", "a compressed file"),
)


@dataclass(frozen=True, slots=True)
class SourceFile:
    """A file as delivered: its bytes are what is archived, its text is what is read.

    ``encoding`` is the encoding the bytes were read with; Windows-1252 only where they are not UTF-8.
    """

    name: str
    content: bytes = field(repr=False)
    text: str = field(repr=False)
    encoding: str

    @property
    def sha256(self) -> str:
        """Fingerprint under which the file is archived."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True)
class Record:
    """One record of a delimited file and the physical lines it stands on (both inclusive, counted from 1)."""

    line: int
    last_line: int
    fields: list[str]

    @property
    def is_blank(self) -> bool:
        """Whether nothing at all stands on the line: no text and no delimiter."""
        return not self.fields or (len(self.fields) == 1 and not self.fields[0].strip())


def read_source(path: Path) -> SourceFile:
    """Read a file from disk and decode it.

    Raises
    ------
    FileError
        When the file is missing, empty, binary, or has a line longer than 1,000,000 characters.
    """
    try:
        content = path.read_bytes()
    except OSError as error:
        raise FileError(
            f"cannot be read ({error.strerror}).", "Check the name and the permissions.", Place(path.name)
        ) from error
    return decode_source(path.name, content)


def decode_source(name: str, content: bytes) -> SourceFile:
    """Decode the bytes of a delivered file; see :func:`read_source`."""
    place = Place(name)
    if not content.strip():
        raise FileError("the file is empty.", "Ask the sender for the file again.", place)
    for start, kind in KNOWN_BINARY_STARTS:
        if content.startswith(start):
            raise FileError(f"this is {kind}, not a text file.", "Ask for, or save, the data as CSV.", place)
    text, encoding = _decoded(content, place)
    if "\x00" in text:
        raise FileError("this is not a text file (it holds zero bytes).", "Ask the sender for a CSV file.", place)
    longest = max(map(len, text.split("\n")))
    if longest > LONGEST_LINE_CHARACTERS:
        raise FileError(
            f"one line has {longest:,} characters; the longest that can be a line of results has "
            f"{LONGEST_LINE_CHARACTERS:,}.",
            "Ask the sender for the file again, with its line breaks.",
            place,
        )
    return SourceFile(name, content, text, encoding)


def records(source: SourceFile, delimiter: str) -> Iterator[Record]:
    """Split a file into records, blank lines included, in file order.

    Raises
    ------
    FileError
        When a quotation mark is never closed or is followed by text: what follows could be read in two ways.
    """
    reader = csv.reader(io.StringIO(source.text, newline=""), delimiter=delimiter, strict=True)
    csv.field_size_limit(LONGEST_FIELD_CHARACTERS)
    last_line = 0
    try:
        for fields in reader:
            yield Record(last_line + 1, reader.line_num, fields)
            last_line = reader.line_num
    except csv.Error as error:
        raise FileError(*_in_plain_words(error), Place(source.name, last_line + 1)) from error


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


def _decoded(content: bytes, place: Place) -> tuple[str, str]:
    for mark, encoding in BYTE_ORDER_MARKS:
        if content.startswith(mark):
            return _strictly(content, encoding, place), encoding
    try:
        return content.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        return _strictly(content, "cp1252", place), "cp1252"


def _strictly(content: bytes, encoding: str, place: Place) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise FileError(
            f"the bytes are not text in {encoding.upper()}.",
            "Ask the sender for a CSV file in UTF-8.",
            Place(place.file, line),
        ) from error
