"""A long text file in blocks of whole lines, as UTF-8, while its bytes are archived, one at a time."""

import codecs
import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Final, Protocol

from pipeline.analyzers.readings_layout import ReadingsLayout
from pipeline.errors import FileError, Place
from pipeline.ingest.source import LONGEST_LINE_CHARACTERS

BLOCK_BYTES: Final = 64 * 2**20
BYTE_ORDER_MARKS: Final = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
HEAD_BYTES: Final = 2**20
HEAD_LINES: Final = 40
"""In how many lines from the top the header is looked for."""


class Witness(Protocol):
    """Whoever has to see every byte of a file: the archive."""

    def write(self, content: bytes, /) -> object:
        """Take the next bytes."""


@dataclass(frozen=True)
class Block:
    """Some whole lines of a file: ``first_line`` counts from 1, ``content`` is UTF-8 and ends with a line feed."""

    first_line: int
    content: bytes = field(repr=False)

    @cached_property
    def number_of_lines(self) -> int:
        """How many physical lines it has."""
        return self.content.count(b"\n")


@dataclass(frozen=True, slots=True)
class Head:
    """What stands above the data: the lines of the title, the header (0 or 1), and the names of the columns."""

    title_lines: int
    header_lines: int
    names: tuple[str, ...]

    @property
    def length(self) -> int:
        """How many lines there are above the first line of data."""
        return self.title_lines + self.header_lines


class BlockFile:
    """One delivered file of readings, read once from its beginning to its end.

    Parameters
    ----------
    path
        The file.
    encoding
        As the layout says; empty: by its byte order mark, else UTF-8, else Windows-1252 from the first line on that
        is not UTF-8.
    witness
        Sees the bytes as they are in the file.
    block_bytes
        How much is read at a time.
    """

    def __init__(self, path: Path, encoding: str, witness: Witness, block_bytes: int = BLOCK_BYTES) -> None:
        self.path = path
        self.encoding = encoding
        self._witness = witness
        self._block_bytes = block_bytes
        self._line = 1

    def blocks(self) -> Iterator[Block]:
        """The blocks in order; lines that quotation marks hold together stay together.

        Raises
        ------
        FileError
            When the file cannot be read as text, or a quotation mark is never closed.
        """
        pending = b""
        for content in self._texts():
            pending += content
            cut = _last_safe_cut(pending)
            if cut:
                yield self._next(pending[:cut])
                pending = pending[cut:]
            elif len(pending) > 4 * self._block_bytes:
                raise FileError(*self._endless(pending), Place(self.path.name, self._line))
        if pending.count(b'"') % 2:
            raise FileError(*_UNCLOSED, Place(self.path.name, self._line))
        if pending.strip(b"\r\n"):
            yield self._next(pending if pending.endswith(b"\n") else pending + b"\n")
        elif pending:
            yield self._next(pending)

    def _next(self, content: bytes) -> Block:
        block = Block(self._line, content)
        self._line += block.number_of_lines
        return block

    def _texts(self) -> Iterator[bytes]:
        """The file as UTF-8, about a block at a time."""
        try:
            with self.path.open("rb") as file:
                first = self._read(file)
                if not first.strip():
                    raise FileError("the file is empty.", "Ask for the file again.", Place(self.path.name))
                decoder = self._decoder(first)
                raw = first
                while raw:
                    yield self._as_utf8(raw, decoder)
                    raw = self._read(file)
        except OSError as error:
            raise FileError(
                f"cannot be read ({error.strerror}).", "Check the name and the permissions.", Place(self.path.name)
            ) from error

    def _read(self, file: io.BufferedReader) -> bytes:
        raw = file.read(self._block_bytes)
        self._witness.write(raw)
        return raw

    def _decoder(self, first: bytes) -> codecs.IncrementalDecoder | None:
        """What turns bytes into text; ``None`` while they are UTF-8 as they are."""
        if not self.encoding:
            marks = (encoding for mark, encoding in BYTE_ORDER_MARKS if first.startswith(mark))
            self.encoding = next(marks, "")
        if self.encoding in ("", "utf-8"):
            return None
        return codecs.getincrementaldecoder(self.encoding)("strict")

    def _as_utf8(self, raw: bytes, decoder: codecs.IncrementalDecoder | None) -> bytes:
        if b"\x00" in raw and not self.encoding.startswith("utf-16"):
            raise FileError(
                "this is not a text file (it holds zero bytes).", "Have the historian write a CSV file.",
                Place(self.path.name, self._line),
            )  # fmt: skip
        if decoder is None:
            return raw
        try:
            return decoder.decode(raw).encode()
        except UnicodeDecodeError as error:
            raise FileError(
                f"the bytes are not text in {self.encoding.upper()}.", "Have the historian write UTF-8.",
                Place(self.path.name, self._line),
            ) from error  # fmt: skip

    def _endless(self, pending: bytes) -> tuple[str, str]:
        if pending.count(b'"') % 2:
            return _UNCLOSED
        return (
            f"a line has more than {LONGEST_LINE_CHARACTERS:,} characters.",
            "Ask for the file again, with its line breaks.",
        )


_UNCLOSED = (
    "a quotation mark is opened and never closed.",
    "The file may be cut short: have it written again.",
)


def readable(block: Block, file: BlockFile) -> Block:
    """The block as text: the first one that is not UTF-8 decides that the file is Windows-1252 from there on.

    Raises
    ------
    FileError
        When it is neither.
    """
    if block.content.isascii():
        return block
    try:
        if file.encoding != "cp1252":
            block.content.decode()
            file.encoding = file.encoding or "utf-8"
            return block
        return Block(block.first_line, block.content.decode("cp1252").encode())
    except UnicodeDecodeError as error:
        if file.encoding:
            line = block.first_line + block.content.count(b"\n", 0, error.start)
            raise FileError(
                f"the bytes are not text in {file.encoding.upper()}.", "Have the historian write UTF-8.",
                Place(file.path.name, line),
            ) from error  # fmt: skip
        file.encoding = "cp1252"
        return readable(block, file)


def find_head(block: Block, layout: ReadingsLayout, name: str) -> Head:
    """Where the data begin in the first block of a file.

    Raises
    ------
    FileError
        When no header within the first 40 lines is the layout's.
    """
    if layout.headerless:
        return Head(0, 0, layout.headerless.names)
    top = block.content[: block.content.find(b"\n", HEAD_BYTES) + 1 or None]
    text = io.StringIO(b"".join(top.splitlines(keepends=True)[:HEAD_LINES]).decode(), newline="")
    above = 0
    try:
        reader = csv.reader(text, delimiter=layout.delimiter)
        for fields in reader:
            if layout.fits(fields):
                return Head(above, reader.line_num - above, tuple(field.strip() for field in fields))
            above = reader.line_num
    except csv.Error:
        pass
    raise FileError(
        f'the header of the layout "{layout.name}" does not stand in the first {HEAD_LINES} lines.',
        "Choose another layout, or mend its signature.", Place(name, 1),
    )  # fmt: skip


def without_head(block: Block, lines: int) -> Block:
    """The first block without the lines above its data."""
    start = 0
    for _ in range(lines):
        start = block.content.index(b"\n", start) + 1
    return Block(block.first_line + lines, block.content[start:])


def _last_safe_cut(content: bytes) -> int:
    """Where the last whole record ends that no open quotation mark reaches beyond; 0 where there is none."""
    end = content.rfind(b"\n") + 1
    if end and content.count(b'"', 0, end) % 2:
        # The last line feed stands inside quotation marks: the record before the mark that opened them is whole.
        opened = content.rfind(b'"', 0, end)
        end = content.rfind(b"\n", 0, opened) + 1
        while end and content.count(b'"', 0, end) % 2:
            end = content.rfind(b"\n", 0, end - 1) + 1
    return end
